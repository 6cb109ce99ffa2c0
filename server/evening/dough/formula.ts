import type { DoughFormula, Formula, PlanInput, SauceFormula } from '../../../shared/evening.ts';
import { within } from '../range.ts';

const OWN = 'Our own invention, tried on paper only: treat it as a first guess.';

/** Formulas that come along. Invented for this project; their figures lie within common practice (handbook 10). */
export const SHIPPED: readonly Formula[] = [
  {
    kind: 'dough',
    id: 'after-lunch',
    version: 1,
    name: 'After lunch: same day, 2.5 h',
    hydration: 0.6,
    saltFraction: 0.02,
    oilFraction: 0,
    sugarFraction: 0,
    yeast: 'instant',
    yeastFraction: null,
    bulkHours: 2.5,
    coldHours: 0,
    doughC: 25,
    ballGrams: 270,
    note: 'Easy to stretch, mild; for a stone at about 270 °C.',
    origin: OWN,
  },
  {
    kind: 'dough',
    id: 'three-nights',
    version: 1,
    name: 'Three nights: cold, 72 h',
    hydration: 0.64,
    saltFraction: 0.027,
    oilFraction: 0.01,
    sugarFraction: 0,
    yeast: 'instant',
    yeastFraction: null,
    bulkHours: 72,
    coldHours: 68,
    doughC: 23,
    ballGrams: 260,
    note: 'Browns faster than a young dough: expect to take it off a little sooner.',
    origin: OWN,
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
    note: 'Drained for half an hour, so that the middle does not stay wet.',
    origin: OWN,
  },
];

/** The plan's input with this formula in it; what the input says itself is stronger. */
export function withFormula(formula: DoughFormula, input: PlanInput): PlanInput {
  const { hydration, saltFraction, oilFraction, sugarFraction, yeast, yeastFraction } = formula;
  const { bulkHours, coldHours, doughC, ballGrams } = formula;
  const size = input.diameterCm === undefined ? { ballGrams } : {};
  const fractions = { hydration, saltFraction, oilFraction, sugarFraction, yeast, yeastFraction };
  return { ...fractions, bulkHours, coldHours, doughC, ...size, ...input };
}

/** The next version of a formula; the old one stays as it was, so that a cook still names what it used. */
export const changed = <F extends Formula>(formula: F, change: Partial<F>): F => ({
  ...formula,
  ...change,
  id: formula.id,
  kind: formula.kind,
  version: formula.version + 1,
});

/** Grams of each part of a sauce, by the number of pizzas or by what there is of the first part. */
export function sauceFor(
  sauce: SauceFormula,
  amount: { pizzas: number } | { firstGrams: number },
): { name: string; grams: number }[] {
  const first = sauce.parts[0]?.gramsPerPizza ?? 1;
  const pizzas = 'pizzas' in amount ? amount.pizzas : amount.firstGrams / first;
  within('The number of pizzas', pizzas, [0.01, 10_000]);
  return sauce.parts.map(({ name, gramsPerPizza }) => ({
    name,
    grams: Math.round(gramsPerPizza * pizzas * 10) / 10,
  }));
}
