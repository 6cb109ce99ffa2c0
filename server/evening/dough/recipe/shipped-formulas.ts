import { USUAL_BALL } from '../../../../shared/evening/ball.ts';
import type { Formula, SauceFormula } from '../../../../shared/evening/formula.ts';

const OWN = 'Our own invention within common practice, tried on paper only: treat it as a first guess.';

/** What the four doughs share. */
const DOUGH = {
  kind: 'dough',
  version: 1,
  sugarFraction: 0,
  yeast: 'instant',
  yeastFraction: null,
  ballGrams: USUAL_BALL,
  origin: OWN,
} as const;

/** Formulas that come along. Invented for this project; their figures lie within common practice, no source. */
export const SHIPPED_FORMULAS: readonly Formula[] = [
  {
    ...DOUGH,
    id: 'same-day',
    name: 'Same day: 5.5 h',
    hydration: 0.61,
    saltFraction: 0.023,
    oilFraction: 0,
    bulkHours: 3.5,
    coldHours: 0,
    coldAs: 'mass',
    ballHours: 2,
    kneadMinutes: 8,
    doughC: 24,
    note: 'Mild and easy to stretch: mix it after lunch for the evening.',
  },
  {
    ...DOUGH,
    id: 'overnight',
    name: 'Overnight: 16 h cold',
    hydration: 0.625,
    saltFraction: 0.0245,
    oilFraction: 0,
    bulkHours: 18.5,
    coldHours: 16,
    coldAs: 'mass',
    ballHours: 2.5,
    kneadMinutes: 9,
    doughC: 23,
    note: 'Mixed the evening before, balled around noon.',
  },
  {
    ...DOUGH,
    id: 'two-nights',
    name: 'Two nights: 44 h cold, as balls',
    hydration: 0.635,
    saltFraction: 0.026,
    oilFraction: 0.005,
    bulkHours: 1.5,
    coldHours: 44,
    coldAs: 'balls',
    ballHours: 3,
    kneadMinutes: 7,
    doughC: 22,
    note: 'Balled before the fridge: on the day itself the balls only have to come out.',
  },
  {
    ...DOUGH,
    id: 'three-nights-cold',
    name: 'Three nights: 66 h cold',
    hydration: 0.65,
    saltFraction: 0.0275,
    oilFraction: 0.008,
    bulkHours: 68.5,
    coldHours: 66,
    coldAs: 'mass',
    ballHours: 3.5,
    kneadMinutes: 6,
    doughC: 21,
    note: 'Full of taste. It browns faster than a young dough: expect to take it off a little sooner.',
  },
  {
    kind: 'sauce',
    id: 'plain-red',
    version: 1,
    name: 'Plain red, uncooked',
    parts: [
      { name: 'peeled tomatoes, crushed and drained', gramsPerPizza: 75 },
      { name: 'olive oil', gramsPerPizza: 3 },
      { name: 'salt', gramsPerPizza: 0.7 },
    ],
    note: 'Crush the tomatoes and let them drain half an hour before the first pizza is topped, so that the middle does not stay wet.',
    origin: OWN,
  },
];

/** Grams of each part of a sauce for so many usual pizzas; a larger pizza counts as more of one. */
export const sauceFor = ({ parts }: SauceFormula, pizzas: number): { name: string; grams: number }[] =>
  parts.map(({ name, gramsPerPizza }) => ({ name, grams: Math.round(gramsPerPizza * pizzas * 10) / 10 }));
