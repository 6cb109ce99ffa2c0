import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ferment } from '../../../server/evening/dough/fermentation.ts';
import { convertYeast } from '../../../server/evening/dough/physics/yeast.ts';
import { MIXERS, planInput, YEASTS, type PlanInput } from '../../../shared/evening/evening.ts';
import { forAll, real } from '../../support/property.ts';
/** Any kitchen and any wish. */
const inputs: fc.Arbitrary<PlanInput> = fc.record(
  {
    serveAt: fc.constant('2026-05-02T19:00:00Z'),
    pizzas: fc.integer({ min: 1, max: 40 }),
    ballGrams: real(150, 350),
    hydration: real(0.5, 0.85),
    saltFraction: real(0, 0.04),
    yeast: fc.constantFrom(...YEASTS),
    bulkHours: real(0.5, 72),
    coldHours: real(0, 72),
    coldAs: fc.constantFrom('mass' as const, 'balls' as const),
    ballHours: real(0.25, 8),
    roomC: real(5, 38),
    flourC: real(0, 30),
    tapC: real(0, 30),
    fridgeC: real(1, 10),
    doughC: real(15, 32),
    altitudeM: real(0, 4000),
    mixer: fc.constantFrom(...MIXERS),
  },
  { requiredKeys: ['serveAt', 'pizzas'] },
);
const RUNS = { seed: 20260502, numRuns: 400 };
const dough = (input: PlanInput) => ferment(planInput.parse(input));

describe('any kitchen', () => {
  it('gets a dough that can be made: water, ice, yeast and times within what people have', () => {
    forAll(RUNS, inputs, (input) => {
      const { waterC, iceGrams, yeastFraction, stages, ripeness, ballsC, doughC } = dough(input);
      expect(waterC).toBeGreaterThanOrEqual(0);
      expect(waterC).toBeLessThanOrEqual(45);
      expect(iceGrams).toBeGreaterThanOrEqual(0);
      const instant = convertYeast(yeastFraction, input.yeast ?? 'instant', 'instant');
      expect(instant).toBeGreaterThanOrEqual(0.00005 - 1e-9);
      expect(instant).toBeLessThanOrEqual(0.015 + 1e-9);
      const hours = stages.reduce((sum, stage) => sum + stage.hours, 0);
      expect(hours).toBeGreaterThan(0);
      expect(hours).toBeLessThanOrEqual(96 + 72 + 8);
      for (const celsius of [ballsC, doughC, ripeness]) expect(Number.isFinite(celsius)).toBe(true);
      expect(ripeness).toBeGreaterThan(0);
    });
  });

  it('where yeast is worked out the dough is ripe, or the notes say that it is not', () => {
    forAll(RUNS, inputs, (input) => {
      const { ripeness, notes } = dough(input);
      if (ripeness < 0.7 || ripeness > 1.4) expect(notes.map(({ id }) => id)).toContain('ripeness');
    });
  });

  it('has balls of 16 °C at the launch, or is told what to do about it', () => {
    forAll(RUNS, inputs, (input) => {
      const { ballsC, notes } = dough(input);
      const note = notes.find(({ id }) => id === 'cold-balls');
      expect(note === undefined).toBe(ballsC >= 16);
      if (note) expect(note.text).toMatch(/(take them out|make them) [1-9]|put them somewhere/);
      expect(note?.text ?? '').not.toMatch(/Infinity|NaN/);
    });
  });

  /** Any hours, those where something begins among them: the fridge, its least time, the room's most. */
  const hours = (most: number) =>
    fc.oneof(
      real(0, most),
      fc.constantFrom(...[0, 0.25, 0.5, 1, 2, 5.9, 6, 6.1, 7, 7.9, 8, 9, 24, 48].filter((h) => h <= most)),
    );
  const timed = fc
    .record({
      input: inputs,
      bulkHours: hours(48),
      coldHours: fc.option(hours(48), { freq: 2 }),
      ballHours: hours(8),
    })
    .map(({ input, coldHours, ...rest }) => ({
      ...input,
      ...rest,
      coldHours: coldHours ?? undefined,
      pizzas: (rest.bulkHours * 7) % 2 > 1 ? input.pizzas : 1,
    }));

  it.each(['roomC', 'flourC', 'tapC', 'fridgeC', 'doughC', 'bulkHours', 'coldHours', 'ballHours'] as const)(
    'given any dough, with more of %s it never asks for more yeast',
    (part) => {
      const most = { roomC: 38, flourC: 30, tapC: 30, fridgeC: 12, doughC: 32, ballHours: 12 };
      const more = fc.oneof(real(0, 3), real(0, 48));
      forAll({ ...RUNS, numRuns: 250 }, timed, more, (input, by) => {
        const parsed = planInput.parse({ flourC: 20, tapC: 15, ...input });
        if (part === 'coldHours' && parsed.coldHours === undefined) return;
        const before = parsed[part] ?? 0;
        const after = Math.max(
          before,
          Math.min({ bulkHours: 96, coldHours: 96, ...most }[part], before + by),
        );
        // A mass has its cold in its bulk: longer in the fridge is longer in all.
        const longer = part === 'coldHours' && parsed.coldAs === 'mass';
        const bulkHours = parsed.bulkHours + after - before;
        const changed = { ...parsed, ...(longer && { bulkHours }), [part]: after };
        const ratio = ferment(changed).yeastFraction / ferment(parsed).yeastFraction;
        expect(ratio, `${before} to ${after}`).toBeLessThanOrEqual(1 + 1e-3);
      });
    },
  );

  const KITCHENS: PlanInput[] = [
    { roomC: 21, pizzas: 6 },
    { roomC: 26, doughC: 20, fridgeC: 2, ballHours: 4, pizzas: 1 },
    { roomC: 38, fridgeC: 0, ballHours: 0, pizzas: 40 },
    { roomC: 36, fridgeC: 0, ballHours: 0.25, pizzas: 6, doughC: 32 },
    { roomC: 28, fridgeC: 0, ballHours: 0.5, pizzas: 6, doughC: 15 },
    { roomC: 5, fridgeC: 4, pizzas: 12 },
  ].map((kitchen) => ({ serveAt: '2026-05-02T19:00:00Z', ...kitchen }));

  it.each(KITCHENS)(
    'given no time in the fridge and ever longer in the mass, %j: never more yeast',
    (kitchen) => {
      const yeasts = Array.from(
        { length: 36 * 6 },
        (_, i) => dough({ ...kitchen, bulkHours: i / 6 }).yeastFraction,
      );
      const rises = yeasts.slice(1).filter((yeast, i) => yeast > (yeasts[i] ?? 0) * (1 + 1e-3));
      expect(rises).toEqual([]);
    },
  );

  it('given no time in the fridge, takes none that is shorter than it is worth, and none for a short dough', () => {
    forAll(RUNS, timed, (input) => {
      const { coldHours, ripeness } = dough({ ...input, coldHours: undefined });
      if (coldHours > 0) expect(coldHours).toBeGreaterThanOrEqual(2 - 1e-9);
      expect(coldHours > 0).toBe(input.coldAs !== 'balls' && input.bulkHours >= 7);
      // Near its beginning the dough may be somewhat more or less than ripe.
      if (input.bulkHours > 6 && coldHours <= 2) expect(ripeness).toBeGreaterThan(0.65);
    });
  });

  it('more yeast never asks for more time', () => {
    forAll(
      { ...RUNS, numRuns: 200 },
      inputs,
      real(0.0001, 0.03),
      real(1, 3),
      (input, yeastFraction, times) => {
        const [less, more] = [1, times].map((factor) =>
          dough({ ...input, yeastFraction: yeastFraction * factor }),
        );
        const hours = (of: typeof less) => of?.stages.reduce((sum, stage) => sum + stage.hours, 0) ?? 0;
        expect(hours(more)).toBeLessThanOrEqual(hours(less) + 0.1);
      },
    );
  });

  it('higher up never asks for more yeast', () => {
    forAll({ ...RUNS, numRuns: 100 }, inputs, real(0, 4000), (input, altitudeM) => {
      expect(dough({ ...input, altitudeM }).yeastFraction).toBeLessThanOrEqual(
        dough({ ...input, altitudeM: 0 }).yeastFraction,
      );
    });
  });
});
