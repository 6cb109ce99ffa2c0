import type { PrefermentMasses, YeastSolution } from '../../../../shared/evening/dough.ts';
import type { DoughMasses, Evening, PlanSettings, Yeast } from '../../../../shared/evening/evening.ts';
import { gramsOf, type Fermentation } from '../kitchen.ts';
import { exactMasses, weighable } from './masses.ts';
import { prefermentOf } from './preferment.ts';
import { convertYeast } from '../physics/yeast.ts';

/** All that is weighed. `dough` is all of it, the preferment and the yeast's solution being parts of it, g. */
export type Recipe = Pick<Evening, 'dough' | 'preferment' | 'solution'>;

/** Below this a kitchen scale does not weigh it, g; a part of a solution is no less than this, g. */
const [WEIGHED, TAKEN] = [1, 10];

/** Water that 1 g of yeast is stirred into, g, the first that suits; and of the dough's water at most this share. */
const [STIRRED_INTO, OF_THE_WATER] = [[100, 1000, 20], 0.5] as const;

/**
 * How a kitchen weighs less than a gram of yeast: 1 g stirred into 100 g of water, of which the part with so much yeast
 * goes into the dough; 1000 g where that part would be under 10 g, 20 g where it would be more than half of the dough's
 * water. Null where it can be weighed, or there is none, or no water for it.
 */
export function solutionOf(yeastGrams: number, water = Infinity): YeastSolution | null {
  if (yeastGrams >= WEIGHED || yeastGrams <= 0) return null;
  const take = (into: number): number => Math.round(yeastGrams * (into + 1));
  const suits = (into: number): boolean => take(into) >= TAKEN && take(into) <= OF_THE_WATER * water;
  const canBe = (into: number): boolean => take(into) >= 1 && take(into) <= water;
  const waterGrams = STIRRED_INTO.find(suits) ?? STIRRED_INTO.find(canBe);
  return waterGrams === undefined ? null : { yeastGrams: 1, waterGrams, takeGrams: take(waterGrams) };
}

const inTenths = (grams: number): number => Math.round(grams * 10) / 10;
const inHundredths = (grams: number): number => Math.round(grams * 100) / 100;

export function recipeOf(
  settings: PlanSettings,
  { yeastFraction }: Pick<Fermentation, 'yeastFraction'>,
): Recipe {
  const { hydration, saltFraction: salt, oilFraction: oil, sugarFraction: sugar, yeast } = settings;
  const parts = { hydration, salt, yeast: yeastFraction, oil, sugar };
  const dough = weighable(exactMasses(parts, gramsOf(settings)));
  const preferment = prefermentMasses(settings, dough, yeast);
  // Not from the rounded grams: a hundredth is much of a little.
  const inPreferment = convertYeast(prefermentOf(settings)?.yeast ?? 0, 'instant', yeast);
  const own = dough.flourGrams * (yeastFraction - inPreferment);
  const water = dough.waterGrams - (preferment?.waterGrams ?? 0);
  return { dough, preferment, solution: own < 0.001 ? null : solutionOf(own, water) };
}

function prefermentMasses(settings: PlanSettings, dough: DoughMasses, yeast: Yeast): PrefermentMasses | null {
  const own = prefermentOf(settings);
  if (!own) return null;
  const { kind, flourShare, waterShare, hours, celsius } = own;
  const flourGrams = inTenths(dough.flourGrams * flourShare);
  const waterGrams = Math.min(dough.waterGrams, inTenths(dough.flourGrams * waterShare));
  const yeastGrams = Math.min(
    dough.yeastGrams,
    inHundredths(dough.flourGrams * convertYeast(own.yeast, 'instant', yeast)),
  );
  const totalGrams = inHundredths(flourGrams + waterGrams + yeastGrams);
  return { kind, flourGrams, waterGrams, yeastGrams, totalGrams, hours, celsius };
}
