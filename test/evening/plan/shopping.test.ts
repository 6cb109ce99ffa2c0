import { describe, expect, it } from 'vitest';
import { workOut } from '../../../server/evening/plan/planner.ts';
import { shoppingOf } from '../../../server/evening/plan/shopping.ts';
import type { PlanInput } from '../../../shared/evening/evening.ts';

const listOf = (over: Partial<PlanInput> = {}) => {
  const evening = workOut({ serveAt: '2026-05-02T19:00:00Z', pizzas: 6, ...over });
  const list = shoppingOf(evening, { run: [] }, [{ name: 'salt', grams: 4.2 }]);
  return { evening, grams: new Map(list.map(({ name, grams }) => [name, grams])) };
};

describe('the shopping list', () => {
  it('given a plan, has at least what its dough and sauce need, in whole grams', () => {
    const { evening, grams } = listOf();
    const { flourGrams, saltGrams, yeastGrams } = evening.dough;
    expect(grams.get('flour')).toBeGreaterThan(flourGrams);
    expect(grams.get('salt')).toBe(Math.ceil(saltGrams + 4.2));
    expect(grams.get('instant yeast')).toBe(Math.ceil(yeastGrams));
    for (const each of grams.values()) expect(Number.isInteger(each)).toBe(true);
  });

  it.each([
    ['less yeast than can be weighed', { bulkHours: 50, coldHours: 48 }, 1],
    ['a poolish and a dough that each take less', { preferment: { kind: 'poolish' } }, 2],
    ['a sourdough alone', { preferment: { kind: 'sourdough' } }, undefined],
  ] as const)('given %s, has the whole grams that are stirred into water', (_what, over, yeast) => {
    expect(listOf(over).grams.get('instant yeast')).toBe(yeast);
  });

  it('given eggs on two pizzas, counts them, and gives what else is on a pizza by weight', () => {
    const evening = workOut({ serveAt: '2026-05-02T19:00:00Z', pizzas: 3 });
    const run = ['egg, ham', 'egg', ''].map((toppings) => ({ toppings }));
    const list = shoppingOf(evening, { run: run as Parameters<typeof shoppingOf>[1]['run'] }, []);
    expect(list.find(({ name }) => name === 'egg')?.count).toBe(2);
    expect(list.find(({ name }) => name === 'ham')).not.toHaveProperty('count');
  });
});
