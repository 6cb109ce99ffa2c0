import { describe, expect, it } from 'vitest';
import { planOutput } from '../../../shared/evening/evening.ts';
import { plan, planFromText } from '../../../server/evening/plan/planner.ts';

describe('refusals, in one sentence that names what is expected', () => {
  it.each([
    ['not json', 'expected as one JSON object'],
    ['[]', "The evening can't be used"],
    ['3', "The evening can't be used"],
    ['{"pizzas":6}', 'serveAt is expected as a time with its zone'],
    ['{"serveAt":"tonight","pizzas":6}', 'serveAt is expected as a time with its zone'],
    ['{"serveAt":"2026-05-02T19:00:00Z"}', 'the number of pizzas is expected from 1 to 60'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":0}', 'from 1 to 60'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":2.5}', 'is a whole number'],
    [
      '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"hydration":62}',
      'the hydration is expected from 0.4 to 1 as a fraction of the flour',
    ],
    [
      '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"yeast":"sourdough"}',
      'one of fresh, active-dry, instant',
    ],
  ])('%s', (json, want) => {
    expect(() => planFromText(json)).toThrow(want);
    try {
      planFromText(json);
    } catch (error) {
      const { message } = error as Error;
      expect(message.endsWith('.')).toBe(true);
      expect(message.includes('\n')).toBe(false);
    }
  });

  it.each([
    '{"serveAt":"2026-05-02T19:00:00Z","pizzas":40,"roomC":38,"flourC":30,"tapC":30,"doughC":18}',
    '{"serveAt":"2026-05-02T19:00:00Z","pizzas":1,"roomC":5,"flourC":0,"tapC":0,"doughC":30}',
    '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"bulkHours":5,"coldHours":24}',
    '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"yeastFraction":0.06}',
    '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"yeastFraction":0.00005}',
  ])('does not refuse a kitchen, a time or a yeast: %s', (json) => {
    expect(planOutput.strict().parse(planFromText(json)).steps.length).toBeGreaterThan(10);
  });

  it.each([
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"hydratoin":0.7}', 'hydratoin'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"stone":{"material":"steel","gapMM":3}}', 'stone.gapMM'],
    [
      '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"preferment":{"kind":"biga","share":0.3}}',
      'preferment.share',
    ],
  ])('given a name that is not known, %s, plans nothing and says which', (json, name) => {
    expect(() => planFromText(json)).toThrow(
      `${name} can't be used: this name is not known here: correct it, or leave it out.`,
    );
  });

  it.each(['0000-05-02T19:00:00Z', '1999-12-31T23:59:59Z', '2100-01-01T00:00:00Z', '9999-12-31T23:00:00Z'])(
    'given a year in which nobody bakes, %s, says which years are meant',
    (serveAt) => {
      const expected = /serveAt is expected in a year from 2000 to 2099/;
      expect(() => plan({ serveAt, pizzas: 6 })).toThrow(expected);
      expect(() => plan({ serveAt: '2026-05-02T19:00:00Z', pizzas: 6, now: serveAt })).toThrow(
        /now is expected in/,
      );
    },
  );

  it('takes every name that it is said to understand', () => {
    const all = {
      serveAt: '2026-05-02T19:00:00Z',
      pizzas: 6,
      ballGrams: 255,
      hydration: 0.62,
      saltFraction: 0.025,
      yeast: 'instant',
      yeastFraction: null,
      bulkHours: 3,
      coldHours: 0,
      coldAs: 'mass',
      ballHours: 2,
      roomC: 21,
      flourC: 20,
      frictionC: 12,
      doughC: 25,
      fridgeC: 4,
      mixer: 'stand',
      tapC: 15,
      outsideC: 12,
      windy: true,
      altitudeM: 300,
      stone: { material: 'cordierite', thicknessMm: 15, gapMm: 10 },
      bakeMinutes: 7,
      unit: 'F',
      now: '2026-05-01T19:00:00Z',
    };
    expect(planFromText(JSON.stringify(all)).fits).toBe(true);
  });
});
