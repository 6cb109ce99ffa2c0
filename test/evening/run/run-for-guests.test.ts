import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { runFor } from '../../../server/evening/run/run-for-guests.ts';
import { planDraft, type PlanDraft } from '../../../shared/evening/plan.ts';
import { forAll } from '../../support/property.ts';

const people = (...names: string[]) => names.map((name) => ({ name }));
const draft = (pizzas: number, over: object = {}): PlanDraft =>
  planDraft.parse({ input: { serveAt: '2026-05-02T19:00:00Z', pizzas }, ...over });
const eaters = (of: PlanDraft): string[] => runFor(of).map(({ eater }) => eater);

describe('whose pizza is whose', () => {
  it('given guests and no run, is for each in turn', () => {
    expect(eaters(draft(5, { guests: people('Ada', 'Ben', 'Cleo') }))).toEqual([
      'Ada',
      'Ben',
      'Cleo',
      'Ada',
      'Ben',
    ]);
    expect(eaters(draft(2))).toEqual(['', '']);
  });

  const run = [
    { name: 'Red', eater: 'Ben', toppings: 'olives' },
    { eater: 'Ada' },
    { name: 'White', eater: 'Ben', toppings: '' },
    { eater: 'Ada' },
  ];
  const guests = people('Ada', 'Ben');

  it('given more pizzas, keeps names, toppings and order, and adds at the end for who has the fewest', () => {
    const more = runFor(draft(7, { guests, run }));
    expect(more.slice(0, 4).map(({ name, eater, toppings }) => [name, eater, toppings])).toEqual([
      ['Red', 'Ben', 'olives'],
      ['', 'Ada', ''],
      ['White', 'Ben', ''],
      ['', 'Ada', ''],
    ]);
    expect(more.slice(4).map(({ eater }) => eater)).toEqual(['Ada', 'Ben', 'Ada']);
  });

  it('given fewer pizzas, takes those away of which nothing was said, and nobody the only one', () => {
    expect(runFor(draft(3, { guests, run })).map(({ name, eater }) => [name, eater])).toEqual([
      ['Red', 'Ben'],
      ['', 'Ada'],
      ['White', 'Ben'],
    ]);
    expect(eaters(draft(2, { guests, run }))).toEqual(['Ben', 'Ada']);
  });

  it('given one more guest, gives a plain pizza of whoever has most, named ones last', () => {
    expect(eaters(draft(4, { guests: people('Ada', 'Ben', 'Cleo'), run }))).toEqual([
      'Ben',
      'Ada',
      'Ben',
      'Cleo',
    ]);
  });

  it('given one guest less, keeps what was said of the pizzas and gives them to the others', () => {
    const left = runFor(draft(4, { guests: people('Ada', 'Cleo'), run }));
    expect(left.map(({ name }) => name)).toEqual(['Red', '', 'White', '']);
    expect(left.map(({ eater }) => eater)).toEqual(['Cleo', 'Ada', 'Cleo', 'Ada']);
  });

  it('given a guest whose taste and diet changed, has them on the pizzas', () => {
    const fussy = [{ name: 'Ada', taste: { base: 2 }, diet: 'vegan' }, { name: 'Ben' }];
    expect(runFor(draft(4, { guests: fussy, run }))[1]).toMatchObject({ diet: 'vegan', taste: { base: 2 } });
  });

  it('given any guests, run and number, has that many pizzas, none for anybody else, and one each where they suffice', () => {
    const some = fc.uniqueArray(fc.constantFrom('Ada', 'Ben', 'Cleo', 'Dov', 'Eve', 'Fay'), { maxLength: 6 });
    const pizza = fc.record({
      eater: fc.constantFrom('', 'Ada', 'Ben', 'Cleo', 'Gus'),
      name: fc.constantFrom('', 'Red'),
      toppings: fc.constantFrom('', 'olives'),
    });
    forAll(
      { seed: 5, numRuns: 300 },
      some,
      fc.array(pizza, { maxLength: 12 }),
      fc.integer({ min: 1, max: 12 }),
      (names, before, pizzas) => {
        const after = runFor(draft(pizzas, { guests: people(...names), run: before }));
        expect(after).toHaveLength(pizzas);
        if (names.length === 0) return;
        for (const { eater } of after) expect(names).toContain(eater);
        if (pizzas >= names.length) expect(new Set(after.map(({ eater }) => eater)).size).toBe(names.length);
        if (pizzas < before.length) return;
        const described = (of: readonly { name: string; toppings: string }[]) =>
          of.slice(0, before.length).map(({ name, toppings }) => [name, toppings]);
        expect(described(after)).toEqual(described(before));
      },
    );
  });
});
