import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MIN_BULK_SHARE } from '../../../server/evening/plan/step-links.ts';
import { workOut } from '../../../server/evening/plan/planner.ts';
import { replan } from '../../../server/evening/plan/replan.ts';
import { STEPS, type Evening, type Happening } from '../../../shared/evening/evening.ts';
import { forAll } from '../../support/property.ts';

const evening = workOut({ serveAt: '2026-05-02T19:00:00Z', pizzas: 3 });
const cold = workOut({ serveAt: '2026-05-02T19:00:00Z', pizzas: 3, bulkHours: 72 });
const time = (of: Evening, id: string): number =>
  Date.parse(of.steps.find((step) => step.id === id)?.at ?? '');
const later = (id: string, minutes: number, of = evening): string =>
  new Date(time(of, id) + minutes * 60_000).toISOString();
const moved = (after: Evening, id: string, of = evening): number => (time(after, id) - time(of, id)) / 60_000;

describe('live slippage', () => {
  it('given that nothing happened, moves nothing and nothing gives way', () => {
    expect(replan(evening, [], later('weigh', -60))).toMatchObject({
      moved: new Map(),
      gives: [],
      evening: { serveAt: '2026-05-02T19:00:00Z' },
    });
  });

  it('given every step done on time, moves none', () => {
    const happened = evening.steps.slice(0, 6).map(({ step, at }) => ({ step, at }));
    expect(replan(evening, happened, evening.steps[5]?.at ?? '').moved.size).toBe(0);
  });

  it('not begun 20 min late: the dough gets less time and warmer water, and the guests do not wait', () => {
    const after = replan(evening, [], later('weigh', 20));
    expect(moved(after.evening, 'mix')).toBeCloseTo(20, 1);
    expect(moved(after.evening, 'launch:1')).toBe(0);
    expect(after.gives).toHaveLength(1);
    expect(after.gives[0]).toMatch(
      /^The dough will have 20 min less: a little warmer water, 2[5-9] °C instead of 22 °C\.$/,
    );
  });

  it('mixed 20 min late: a warmer place', () => {
    const after = replan(evening, [{ step: 'mix', at: later('mix', 20) }], later('mix', 20));
    expect(after.gives[0]).toBe('The dough will have 20 min less: put it somewhere about 3 °C warmer.');
  });

  it('an hour late: the bulk gives a fifth, the rest the guests wait', () => {
    const after = replan(evening, [{ step: 'mix', at: later('mix', 60) }], later('mix', 60));
    const given = evening.bulkHours * 60 * (1 - MIN_BULK_SHARE);
    expect(moved(after.evening, 'launch:1')).toBeCloseTo(60 - given, 0);
    expect(after.gives[0]).toBe(`The first pizza comes ${Math.round(60 - given)} min later.`);
    expect(Date.parse(after.evening.serveAt) - Date.parse(evening.serveAt)).toBe(
      moved(after.evening, 'launch:1') * 60_000,
    );
  });

  it('fire late: the odds are told, and only beyond the middle lead the guests wait', () => {
    const slack = evening.fire.lead - evening.fire.middle;
    const some = replan(
      evening,
      [{ step: 'light-fire', at: later('light-fire', slack - 5) }],
      later('light-fire', slack - 5),
    );
    expect(moved(some.evening, 'launch:1')).toBe(0);
    expect(some.gives[0]).toMatch(
      /^The fire has \d+ min: warm right through by then about [56] times in 10\.$/,
    );
    const much = replan(
      evening,
      [{ step: 'light-fire', at: later('light-fire', slack + 30) }],
      later('light-fire', slack + 30),
    );
    expect(moved(much.evening, 'launch:1')).toBeCloseTo(30, 0);
  });

  it('a stone that is forecast to be ready later moves every launch', () => {
    const lit = { step: 'light-fire' as const, at: later('light-fire', 0) };
    const balled = { step: 'ball' as const, at: later('ball', 0) };
    const after = replan(evening, [lit, balled], later('soak', -15), time(evening, 'launch:1') + 15 * 60_000);
    for (const id of ['launch:1', 'turn:2', 'off:3', 'shut-down'])
      expect(moved(after.evening, id)).toBeCloseTo(15, 6);
    expect(after.gives).toEqual(['The first pizza comes 15 min later.']);
  });

  it('given a first pizza that was launched early, does not say any more when it comes', () => {
    const launched = { step: 'launch' as const, pizza: 1, at: later('launch:1', -2) };
    const sooner = (sentence: string): boolean => sentence.startsWith('The first pizza');
    expect(replan(evening, [launched], later('launch:1', 1)).gives.filter(sooner)).toEqual([]);
  });

  it('a stone that is ready: the first launch is now, at whatever second it is asked, and nothing pushes it on', () => {
    const lit = { step: 'light-fire' as const, at: later('light-fire', 40) };
    for (const late of [0, 1, 10, 30, 90]) {
      const now = time(evening, 'launch:1') + late * 60_000;
      const after = replan(evening, [lit], new Date(now).toISOString(), now);
      expect(time(after.evening, 'launch:1')).toBe(now);
      expect(time(after.evening, 'stretch:1')).toBe(now);
    }
  });

  it('a stone that is ready early does not pull the guests in', () => {
    const lit = { step: 'light-fire' as const, at: later('light-fire', -30) };
    const now = time(evening, 'launch:1') - 25 * 60_000;
    const after = replan(evening, [lit], new Date(now).toISOString(), now);
    expect(moved(after.evening, 'launch:1')).toBe(0);
  });

  it.each([-25, 0, 20])('a first launch %i min from plan: the whole run follows it', (minutes) => {
    const at = later('launch:1', minutes);
    const after = replan(evening, [{ step: 'launch', pizza: 1, at }], at);
    for (const id of ['off:1', 'stretch:2', 'launch:2', 'turn:3', 'off:3', 'shut-down', 'ash-out'])
      expect(moved(after.evening, id)).toBeCloseTo(minutes, 6);
    const before = after.evening.steps.filter(
      ({ step, pizza }) => pizza === undefined && !['shut-down', 'ash-out'].includes(step),
    );
    expect(before.every(({ done }) => done)).toBe(true);
    const inRun = after.evening.steps.filter(({ pizza, done }) => pizza !== undefined && done);
    expect(inRun.map(({ id }) => id)).toEqual(['stretch:1', 'launch:1']);
  });

  it('a dough that is two days late takes fire, stone, sauce, toppings and launches with it', () => {
    const at = later('mix', 48 * 60);
    const after = replan(evening, [{ step: 'mix', at }], at);
    const late = moved(after.evening, 'launch:1');
    expect(late).toBeGreaterThan(46 * 60);
    for (const id of [
      'sauce',
      'light-fire',
      'stone-on',
      'vents',
      'soak',
      'toppings',
      'stretch:1',
      'launch:3',
    ])
      expect(moved(after.evening, id), id).toBeCloseTo(late, 6);
  });

  it('guests 30 min late: all that is not done moves, the balls rest longer, the fire is held', () => {
    const now = later('light-fire', 5);
    const serve = { step: 'serve' as const, at: '2026-05-02T19:30:00Z' };
    const done = ['bulk', 'light-fire'].map((step) => ({ step: step as 'bulk', at: later(step, 0) }));
    const after = replan(evening, [...done, serve], now);
    expect(moved(after.evening, 'launch:1')).toBe(30);
    expect(moved(after.evening, 'light-fire')).toBe(0);
    expect(after.gives).toEqual([
      'The first pizza comes 30 min later.',
      'The balls rest 30 min longer: keep them cool and covered.',
      'The fire has 30 min to spare: hold the stone in its band with the vents.',
    ]);
    expect(after.evening.serveAt).toBe('2026-05-02T19:30:00Z');
  });

  it('guests sooner: what can be pulled forward is, and no step goes before now', () => {
    const now = later('bulk', 10);
    const done = { step: 'bulk' as const, at: later('bulk', 0) };
    const after = replan(evening, [done, { step: 'serve', at: '2026-05-02T18:40:00Z' }], now);
    expect(moved(after.evening, 'launch:1')).toBe(-20);
    expect(after.gives[1]).toContain('20 min less');
  });

  it('takes a tap for all that was planned before it, but not what is said to be late, nor what waits for that', () => {
    const lit = { step: 'light-fire' as const, at: later('light-fire', 0) };
    const now = later('light-fire', 1);
    const silent = replan(evening, [lit], now);
    expect(silent.moved.size).toBe(0);
    expect(silent.evening.steps.find(({ id }) => id === 'bulk')?.done).toBe(true);
    const late = replan(evening, [lit, { step: 'mix', at: later('light-fire', 10) }], now);
    expect(late.evening.steps.find(({ id }) => id === 'bulk')?.done).toBe(false);
    expect(moved(late.evening, 'launch:1')).toBeGreaterThan(30);
  });

  it('does not take for done what can not have been: a dough mixed an hour late is not in bulk when the fire is lit', () => {
    const mixed = { step: 'mix' as const, at: later('light-fire', -5) };
    const lit = { step: 'light-fire' as const, at: later('light-fire', 0) };
    const { evening: after } = replan(evening, [mixed, lit], later('light-fire', 0));
    expect(after.steps.find(({ id }) => id === 'bulk')?.done).toBe(false);
    expect(time(after, 'bulk')).toBeGreaterThan(time(after, 'mix'));
    expect(moved(after, 'launch:1')).toBeGreaterThan(30);
  });

  it('given toppings that are laid out and guests an hour late, says from which pizza on fresh ones are due', () => {
    const six = workOut({ serveAt: '2026-05-02T19:00:00Z', pizzas: 6 });
    const happened = (minutes: number): Happening[] => [
      { step: 'toppings', at: later('toppings', 0, six) },
      { step: 'serve', at: new Date(Date.parse(six.serveAt) + minutes * 60_000).toISOString() },
    ];
    const given = (minutes: number) =>
      replan(six, happened(minutes), later('toppings', 1, six)).gives.join(' ');
    // out at -25 min: the fourth is launched at 37.5 min and the fifth at 50, an hour later each
    expect(given(60)).toContain(
      'The toppings will have been out for 2 h by pizza 4: fresh ones from then on.',
    );
    expect(given(10)).not.toContain('toppings');
  });

  it('a pizza that was launched late moves those after it, and not those before', () => {
    const at = later('launch:2', 6);
    const after = replan(
      evening,
      [
        { step: 'launch', pizza: 1, at: later('launch:1', 0) },
        { step: 'launch', at },
      ],
      at,
    );
    expect(moved(after.evening, 'launch:2')).toBeCloseTo(6, 6);
    expect(moved(after.evening, 'off:3')).toBeCloseTo(6, 6);
    expect(moved(after.evening, 'off:1')).toBe(0);
    expect(after.evening.steps.find(({ id }) => id === 'mix')?.done).toBe(true);
  });

  it('a cold dough an hour late is nothing to speak of in 72 h', () => {
    const after = replan(cold, [{ step: 'mix', at: later('mix', 60, cold) }], later('mix', 60, cold));
    expect(moved(after.evening, 'launch:1', cold)).toBe(0);
  });

  it('whatever happens: no step before now that is not done, none before what it waits for, all the steps still there', () => {
    const happening = fc.record({
      step: fc.constantFrom(...STEPS, 'serve' as const),
      minutes: fc.integer({ min: -600, max: 400 }),
    });
    forAll(
      { seed: 31, numRuns: 120 },
      fc.array(happening, { maxLength: 6 }),
      fc.integer({ min: -400, max: 200 }),
      fc.boolean(),
      (all, at, same) => {
        const before = same ? evening : cold;
        const now = time(before, 'launch:1') + at * 60_000;
        const happened: Happening[] = all.map(({ step, minutes }) => ({
          step,
          at: new Date(time(before, 'launch:1') + minutes * 60_000).toISOString(),
        }));
        const { evening: after } = replan(before, happened, new Date(now).toISOString());
        expect(after.steps.map(({ id }) => id).sort()).toEqual(before.steps.map(({ id }) => id).sort());
        for (const step of after.steps)
          if (!step.done) expect(Date.parse(step.at)).toBeGreaterThanOrEqual(now);
        const times = after.steps.map((step) => Date.parse(step.at));
        expect([...times].sort((a, b) => a - b)).toEqual(times);
        const undone = (id: string) => after.steps.some((step) => step.id === id && !step.done);
        for (const [first, then] of [
          ['mix', 'knead'],
          ['ball', 'rest'],
          ['launch:1', 'off:1'],
          ['off:1', 'launch:2'],
          ['off:3', 'shut-down'],
        ] as const)
          if (undone(then)) expect(time(after, then)).toBeGreaterThanOrEqual(time(after, first));
      },
    );
  });
});
