import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { workOut } from '../../../server/evening/plan/planner.ts';
import { Fault } from '../../../shared/fault.ts';
import type { Evening, PlanInput } from '../../../shared/evening/evening.ts';
import { forAll, real } from '../../support/property.ts';
/** Instants of a year, with the nights on which clocks change in Europe and America, and midnights, over-represented. */
const instant = fc.oneof(
  fc.integer({ min: Date.UTC(2026, 0, 1), max: Date.UTC(2026, 11, 31) }),
  fc.constantFrom(
    Date.UTC(2026, 2, 29, 1, 0), // clocks go forward in Europe
    Date.UTC(2026, 9, 25, 1, 0), // and back
    Date.UTC(2026, 2, 8, 10, 0), // America
    Date.UTC(2026, 10, 1, 9, 0),
    Date.UTC(2026, 11, 31, 23, 59, 59),
    Date.UTC(2026, 5, 1, 0, 0),
  ),
);
const inputs: fc.Arbitrary<PlanInput> = fc.record(
  {
    serveAt: instant.map((ms) => new Date(ms).toISOString()),
    pizzas: fc.integer({ min: 1, max: 20 }),
    ballGrams: real(150, 350),
    hydration: real(0.5, 0.8),
    saltFraction: real(0, 0.04),
    oilFraction: real(0, 0.05),
    yeast: fc.constantFrom('fresh' as const, 'active-dry' as const, 'instant' as const),
    bulkHours: real(2.5, 72),
    roomC: real(16, 30),
    mixer: fc.constantFrom('hand' as const, 'stand' as const, 'fast' as const),
    doughC: real(22, 27),
    wasteFraction: real(0, 0.1),
    restMinutes: real(10, 120),
    bakeMinutes: real(2, 15),
    recoveryMinutes: real(0, 15),
    fireLeads: fc.array(real(20, 150), { maxLength: 8 }),
  },
  { requiredKeys: ['serveAt', 'pizzas'] },
);

/** All evenings that can be planned; a refusal must be a sentence, and there must be few. */
function each(check: (evening: Evening, input: PlanInput) => void): void {
  let [planned, refused] = [0, 0];
  forAll({ seed: 20260502, numRuns: 120 }, inputs, (input) => {
    try {
      check(workOut(input), input);
      planned++;
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      refused++;
    }
  });
  expect(planned).toBeGreaterThan(5 * refused);
}

const time = (evening: Evening, id: string): number =>
  Date.parse(evening.steps.find((step) => step.id === id)?.at ?? '');

describe('any evening', () => {
  it('has its steps in time order, and none crosses another that it waits for', () => {
    each((evening) => {
      const times = evening.steps.map(({ at }) => Date.parse(at));
      expect([...times].sort((a, b) => a - b)).toEqual(times);
      const dough = [
        'weigh',
        'mix',
        'knead',
        'bulk',
        ...(evening.coldHours > 0 ? ['cold', 'warm'] : []),
        'ball',
        'rest',
        'stretch:1',
        'launch:1',
      ];
      const fire = ['light-fire', 'stone-on', 'soak', 'launch:1'];
      for (const chain of [dough, fire])
        chain
          .slice(1)
          .forEach((id, i) =>
            expect(time(evening, id)).toBeGreaterThanOrEqual(time(evening, chain[i] ?? '')),
          );
      for (let k = 1; k <= evening.settings.pizzas; k++) {
        const run = [
          `stretch:${k}`,
          `launch:${k}`,
          `turn:${k}`,
          `off:${k}`,
          k < evening.settings.pizzas ? `launch:${k + 1}` : 'shut-down',
        ];
        run
          .slice(1)
          .forEach((id, i) => expect(time(evening, id)).toBeGreaterThanOrEqual(time(evening, run[i] ?? '')));
      }
    });
  });

  it('launches the first pizza by serveAt, and keeps its hours over any change of clocks and midnight', () => {
    each((evening, { serveAt }) => {
      expect(time(evening, 'launch:1')).toBeLessThanOrEqual(Date.parse(serveAt));
      const bulk = (time(evening, 'ball') - time(evening, 'bulk')) / 3_600_000;
      expect(Math.abs(bulk - evening.bulkHours)).toBeLessThan(0.001);
      for (const { at } of evening.steps) expect(at).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/);
    });
  });

  it('has masses that add up to the hundredth of a gram, and to balls and loss', () => {
    each(({ dough, settings }) => {
      const { totalGrams, ...rest } = dough;
      const sum = Object.values(rest).reduce((all, grams) => all + Math.round(grams * 100), 0);
      expect(sum).toBe(Math.round(totalGrams * 100));
      const want = (settings.pizzas * (settings.ballGrams ?? 265)) / (1 - settings.wasteFraction);
      expect(Math.abs(totalGrams - want)).toBeLessThanOrEqual(0.051);
    });
  });

  it('is linear in the number of pizzas, where the yeast is given', () => {
    forAll({ seed: 9, numRuns: 100 }, fc.integer({ min: 1, max: 20 }), real(0.5, 0.8), (n, hydration) => {
      const of = (pizzas: number) =>
        workOut({ serveAt: '2026-05-02T19:00:00Z', pizzas, hydration, yeastFraction: 0.003 }).dough;
      const [once, often] = [of(1), of(n)];
      expect(Math.abs(often.waterGrams - n * once.waterGrams)).toBeLessThanOrEqual(0.051 * (n + 1));
      expect(Math.abs(often.flourGrams - n * once.flourGrams)).toBeLessThanOrEqual(0.2 * (n + 1));
    });
  });

  it('does not mind how the serving time is written', () => {
    const input = { pizzas: 4, bulkHours: 30 };
    const [utc, summer] = ['2026-10-25T01:30:00Z', '2026-10-25T03:30:00+02:00'].map((serveAt) =>
      workOut({ ...input, serveAt }),
    );
    expect(summer?.steps).toEqual(utc?.steps);
  });
});
