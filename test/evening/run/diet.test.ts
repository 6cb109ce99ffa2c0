import { describe, expect, it } from 'vitest';
import { clash } from '../../../server/evening/run/diet.ts';
import { DIETS } from '../../../shared/evening/plan.ts';

describe('what does not go with a diet', () => {
  it.each([
    ['vegetarian', 'ham, mushrooms', 'Not vegetarian: ham (meat).'],
    ['vegetarian', 'Anchovies; olives + Salami', 'Not vegetarian: Anchovies (fish), Salami (meat).'],
    ['vegetarian', 'smoked salmon & capers', 'Not vegetarian: smoked salmon (fish).'],
    [
      'vegan',
      'goat cheese, honey, egg',
      'Not vegan: goat cheese (dairy), honey (from animals), egg (from animals).',
    ],
    ['pescatarian', 'tuna and bacon', 'Not pescatarian: bacon (meat).'],
    ['pork-free', 'chicken, pepperoni', 'Not pork-free: pepperoni (meat).'],
    ['dairy-free', 'ham, buffalo mozzarella', 'Not dairy-free: buffalo mozzarella (dairy).'],
    [
      'gluten-free',
      'olives',
      'Not gluten-free: the dough itself (wheat, its flour on board, peel and stone too).',
    ],
  ] as const)('given %s and %s, says so', (diet, toppings, note) =>
    expect(clash(diet, ['', toppings])).toBe(note),
  );

  it.each([
    ['vegetarian', 'oyster mushrooms, beefsteak tomatoes, graham crumbs, vegan ham, veggie sausage'],
    ['vegan', 'butternut, peanut butter, coconut milk, soy mozzarella, champignons, eggplant'],
    ['all', 'ham, anchovies, cheese'],
    ['pork-free', 'chicken, beef, tuna'],
    ['dairy-free', 'ham, cashew cream'],
    ['vegetarian', ''],
  ] as const)('given %s and %s, says nothing', (diet, toppings) =>
    expect(clash(diet, [toppings])).toBeNull(),
  );

  it.each([
    ['vegan', 'Margherita', 'Not vegan: Margherita (dairy).'],
    ['dairy-free', 'Quattro formaggi', 'Not dairy-free: Quattro formaggi (dairy).'],
    ['vegetarian', 'Diavola', 'Not vegetarian: Diavola (meat).'],
    ['pork-free', 'Carbonara', 'Not pork-free: Carbonara (meat).'],
  ] as const)(
    'given %s and a pizza called %s with nothing said of its toppings, says so',
    (diet, name, note) => expect(clash(diet, [name, ''])).toBe(note),
  );

  it.each(['Marinara', 'Vegan Margherita', 'Rossa'])(
    'given a vegan and a pizza called %s, says nothing',
    (name) => expect(clash('vegan', [name, ''])).toBeNull(),
  );

  it("reads the pizza's name and its sauce too", () => {
    expect(clash('vegetarian', ['Ham special', '', 'tomatoes', 'anchovy paste'])).toBe(
      'Not vegetarian: Ham special (meat), anchovy paste (fish).',
    );
  });

  it('answers for every diet', () => {
    for (const diet of DIETS) expect(() => clash(diet, ['ham'])).not.toThrow();
  });
});
