import { describe, expect, it } from 'vitest';
import { sauceFor, SHIPPED_FORMULAS } from '../../../../server/evening/dough/recipe/shipped-formulas.ts';
import { sauceOf } from '../../../../server/evening/plan/shopping.ts';
import { workOut } from '../../../../server/evening/plan/planner.ts';
import { planInput } from '../../../../shared/evening/evening.ts';
import { doughParts, formula } from '../../../../shared/evening/formula.ts';

const input = { serveAt: '2026-05-02T19:00:00Z', pizzas: 4 };

describe('formulas', () => {
  it.each(SHIPPED_FORMULAS.map((each) => [each.id, each] as const))(
    '%s fits the schema and says that it is invented',
    (_id, each) => {
      expect(formula.parse(each)).toEqual(each);
      expect(each.origin).toMatch(/invention/);
    },
  );

  it.each(SHIPPED_FORMULAS.flatMap((each) => (each.kind === 'dough' ? [[each.id, each] as const] : [])))(
    '%s makes an evening within the ranges of common practice, no source',
    (_id, dough) => {
      const evening = workOut({ ...input, ...doughParts(dough) });
      expect(evening.bulkHours).toBe(dough.bulkHours);
      expect([evening.coldHours, evening.ballHours]).toEqual([dough.coldHours, dough.ballHours]);
      expect(evening.ripeness).toBeCloseTo(1, 6);
      expect(evening.ballsC).toBeGreaterThanOrEqual(16);
      expect(dough.hydration).toBeGreaterThanOrEqual(0.55);
      expect(dough.hydration).toBeLessThanOrEqual(0.7);
      expect(evening.yeastFraction).toBeGreaterThanOrEqual(0.0002);
      expect(evening.yeastFraction).toBeLessThanOrEqual(0.01);
      expect(evening.dough.totalGrams).toBeCloseTo(4 * dough.ballGrams, 6);
    },
  );

  it('has a same day of 5 to 6 h with 2 as balls, 14 to 20 h and 40 to 48 h in the cold, and three nights', () => {
    const doughs = SHIPPED_FORMULAS.filter((each) => each.kind === 'dough');
    expect(doughs).toHaveLength(4);
    const [day, night, two, three] = doughs.map(({ bulkHours, coldHours, ballHours = 0, coldAs }) => ({
      cold: coldHours ?? 0,
      balls: ballHours,
      all: bulkHours + ballHours + (coldAs === 'balls' ? (coldHours ?? 0) : 0),
    }));
    expect(day?.balls).toBe(2);
    expect([day?.all, day?.cold]).toEqual([5.5, 0]);
    expect(night?.cold).toBe(16);
    expect(two?.cold).toBe(44);
    expect(three?.all).toBe(72);
    for (const part of ['hydration', 'saltFraction', 'kneadMinutes', 'bulkHours', 'ballHours'] as const)
      expect(new Set(doughs.map((each) => each[part])).size, part).toBe(4);
  });

  it('scales a sauce by pizzas, a larger one counting as more of one', () => {
    const sauce = SHIPPED_FORMULAS.find((each) => each.kind === 'sauce');
    if (sauce?.kind !== 'sauce') throw new Error('there is a sauce');
    expect(sauceFor(sauce, 6)[0]?.grams).toBe(450);
    const large = sauceOf(sauce, planInput.parse({ ...input, pizzas: 6, ballGrams: 530 }));
    expect(large).toEqual(sauceFor(sauce, 12));
    expect(sauceOf(null, planInput.parse(input))).toEqual([]);
  });
});
