import { BENCH_FLOUR, USUAL_BALL } from '../../../shared/evening/ball.ts';
import type { Evening, PlanSettings } from '../../../shared/evening/evening.ts';
import type { SauceFormula } from '../../../shared/evening/formula.ts';
import type { Bought, PlanDraft } from '../../../shared/evening/plan.ts';
import { ballGramsOf } from '../dough/kitchen.ts';
import { sauceFor } from '../dough/recipe/shipped-formulas.ts';
import { YEAST_NAMES } from '../dough/dough-words.ts';

/** Grams for a pizza of the usual ball, by area as the dough is (common practice, no source). */
const GRAMS_PER_PIZZA = { cheese: 85, topping: 40 } as const;
/** What is bought by the piece: one on a pizza that names it. */
const BY_THE_PIECE = /^eggs?$/;

/** To what a shop or a kitchen scale knows: whole tens from 100 g, else whole grams. */
const rounded = (grams: number): number => {
  const step = grams >= 100 ? 10 : 1;
  // A hundredth too much from adding up is not a gram more.
  return Math.ceil(Math.round((grams / step) * 100) / 100) * step;
};

/** Yeast for dough and preferment, g: a whole gram is stirred into water where less cannot be weighed. */
function yeastToHave({ dough, preferment }: Evening): number {
  const before = preferment?.yeastGrams ?? 0;
  const weighed = (grams: number): number => (grams < 0.005 ? 0 : Math.max(1, grams));
  return weighed(dough.yeastGrams - before) + weighed(before);
}

/** A pizza against one of the usual ball. */
const sizeOf = (settings: PlanSettings): number => ballGramsOf(settings) / USUAL_BALL;

/** Grams of each part of the sauce; none without one. */
export const sauceOf = (sauce: SauceFormula | null, settings: PlanSettings): Bought[] =>
  sauce ? sauceFor(sauce, settings.pizzas * sizeOf(settings)) : [];

/** All that has to be in the house, the same thing summed; toppings as they are named on the pizzas. */
export function shoppingOf(
  evening: Evening,
  { run }: Pick<PlanDraft, 'run'>,
  sauceParts: readonly Bought[],
): Bought[] {
  const { dough, settings, charcoalToHave } = evening;
  const { pizzas } = settings;
  const size = sizeOf(settings);
  const withoutCheese = run.filter(({ diet }) => diet === 'vegan' || diet === 'dairy-free').length;
  const toppings = run.flatMap(({ toppings }) =>
    toppings.split(/[,;]/).map((each) => each.trim().toLowerCase()),
  );
  const sum = new Map<string, number>();
  const add = (name: string, grams = 0): void => {
    if (name && grams > 0) sum.set(name, (sum.get(name) ?? 0) + grams);
  };
  add('flour', dough.flourGrams + BENCH_FLOUR * pizzas);
  add(YEAST_NAMES[settings.yeast], yeastToHave(evening));
  add('salt', dough.saltGrams);
  add('olive oil', dough.oilGrams);
  add('sugar', dough.sugarGrams);
  for (const { name, grams } of sauceParts) add(name, grams);
  add('cheese that melts, drained', GRAMS_PER_PIZZA.cheese * size * (pizzas - withoutCheese));
  for (const name of toppings) add(name, GRAMS_PER_PIZZA.topping * size);
  add('lump charcoal', charcoalToHave);
  return [...sum].map(([name, grams]) => ({
    name,
    grams: rounded(grams),
    ...(BY_THE_PIECE.test(name) && { count: toppings.filter((each) => each === name).length }),
  }));
}
