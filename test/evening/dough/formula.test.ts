import { describe, expect, it } from 'vitest';
import { changed, sauceFor, SHIPPED, withFormula } from '../../../server/evening/dough/formula.ts';
import { workOut } from '../../../server/evening/plan/plan.ts';
import { formula } from '../../../shared/evening.ts';

const input = { serveAt: '2026-05-02T19:00:00Z', pizzas: 4 };

describe('formulas', () => {
  it.each(SHIPPED.map((each) => [each.id, each] as const))(
    '%s fits the schema and says that it is invented',
    (_id, each) => {
      expect(formula.parse(each)).toEqual(each);
      expect(each.origin).toMatch(/invention/);
    },
  );

  it.each(SHIPPED.flatMap((each) => (each.kind === 'dough' ? [[each.id, each] as const] : [])))(
    '%s makes an evening within the ranges of common practice (handbook section 10)',
    (_id, dough) => {
      const evening = workOut(withFormula(dough, input));
      expect(evening.bulkHours).toBe(dough.bulkHours);
      expect(dough.hydration).toBeGreaterThanOrEqual(0.55);
      expect(dough.hydration).toBeLessThanOrEqual(0.7);
      expect(evening.yeastFraction).toBeGreaterThanOrEqual(0.0002);
      expect(evening.yeastFraction).toBeLessThanOrEqual(0.01);
      expect(evening.dough.totalGrams).toBeCloseTo(4 * dough.ballGrams, 6);
    },
  );

  it('lets the evening say otherwise', () => {
    const [dough] = SHIPPED;
    if (dough?.kind !== 'dough') throw new Error('the first formula is a dough');
    expect(withFormula(dough, { ...input, hydration: 0.7 }).hydration).toBe(0.7);
    expect(withFormula(dough, { ...input, diameterCm: 30 }).ballGrams).toBeUndefined();
  });

  it('counts its versions and leaves the old one alone', () => {
    const [first] = SHIPPED;
    if (!first) throw new Error('there are formulas');
    const next = changed(first, { name: 'Other' });
    expect([first.version, next.version, next.id, next.name]).toEqual([1, 2, first.id, 'Other']);
  });

  it('scales a sauce by pizzas or by what there is', () => {
    const sauce = SHIPPED.find((each) => each.kind === 'sauce');
    if (sauce?.kind !== 'sauce') throw new Error('there is a sauce');
    const forSix = sauceFor(sauce, { pizzas: 6 });
    expect(forSix[0]?.grams).toBe(450);
    expect(sauceFor(sauce, { firstGrams: 450 })).toEqual(forSix);
  });
});
