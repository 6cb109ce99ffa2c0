import { describe, expect, it } from 'vitest';
import { burnt, factorOf, gramsPerHour } from '../../../server/evening/plan/charcoal.ts';
import { slowness } from '../../../server/evening/plan/fire-lead.ts';
import { plan, workOut } from '../../../server/evening/plan/planner.ts';

const calm = { outsideC: 20, windy: false, altitudeM: 0, bodyC: 250 };
const wish = { serveAt: '2026-05-02T19:00:00Z', pizzas: 6 };

describe('charcoal', () => {
  it('12.4 MJ for a body of 60 kg, 0.42 kg at 29.5 MJ/kg, then 0.36 kg/h at U 8 (computed for an area of 1.6 m²)', () => {
    expect(burnt(calm, 0, 0)).toBeCloseTo(421, 0);
    expect(gramsPerHour(calm)).toBeCloseTo(359, 0);
    expect(gramsPerHour({ ...calm, windy: true })).toBeCloseTo(539, 0);
  });

  it('takes more in the cold, in wind and for a longer run', () => {
    const grams = [
      plan({ ...wish, outsideC: 30 }),
      plan(wish),
      plan({ ...wish, outsideC: -5 }),
      plan({ ...wish, outsideC: -5, windy: true }),
      plan({ ...wish, outsideC: -5, windy: true, pizzas: 12 }),
    ].map(({ charcoalGrams }) => charcoalGrams);
    expect([...grams].sort((a, b) => a - b)).toEqual(grams);
    expect(new Set(grams).size).toBe(5);
    expect(grams[1]).toBeGreaterThan(900);
    expect(grams[1]).toBeLessThan(1300);
  });

  it('learns from what was added, one more cook counting as reckoned', () => {
    expect(factorOf([])).toBe(1);
    expect(factorOf([2])).toBeCloseTo(Math.SQRT2, 9);
    expect(factorOf(Array.from({ length: 15 }, () => 1.5))).toBeCloseTo(1.5, 1);
    const learnt = plan({ ...wish, charcoalFactors: [1.5, 1.5, 1.5, 1.5] });
    expect(learnt.charcoalGrams / plan(wish).charcoalGrams).toBeCloseTo(1.5 ** 0.8, 1);
  });

  it('refuels a long run, with the stone given time to come back', () => {
    const { steps } = workOut({ ...wish, pizzas: 25, outsideC: -5, windy: true });
    const fills = steps.filter(({ step }) => step === 'refuel');
    expect(fills.length).toBeGreaterThan(0);
    for (const { pizza, at } of fills) {
      const launch = steps.find(({ id }) => id === `launch:${pizza}`)?.at ?? '';
      expect(Date.parse(launch) - Date.parse(at)).toBe(20 * 60_000);
    }
    expect(workOut(wish).steps.some(({ step }) => step === 'refuel')).toBe(false);
  });

  it('lights earlier in the cold, in wind and in thin air', () => {
    const all = [calm, { ...calm, outsideC: 0 }, { ...calm, outsideC: 0, windy: true }];
    const slow = [...all, { ...calm, outsideC: 0, windy: true, altitudeM: 2000 }].map(slowness);
    expect(slow[0]).toBe(1);
    expect([...slow].sort((a, b) => a - b)).toEqual(slow);
    expect(slow.at(-1)).toBeLessThan(1.5);
  });

  it('counts the soak in what is early enough 9 times in 10', () => {
    const { fire, steps } = workOut(wish);
    expect(fire.soak).toBeGreaterThan(5);
    const before = (id: string): number =>
      (Date.parse(steps.find((step) => step.id === 'launch:1')?.at ?? '') -
        Date.parse(steps.find((step) => step.id === id)?.at ?? '')) /
      60_000;
    expect(before('soak')).toBe(fire.soak);
    expect(before('light-fire')).toBe(fire.lead);
    expect(workOut({ ...wish, stone: { thicknessMm: 30 } }).fire.lead).toBeGreaterThan(fire.lead);
  });
});
