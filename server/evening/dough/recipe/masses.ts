import type { DoughMasses } from '../../../../shared/evening/evening.ts';
import { OutOfRange, within } from '../../range.ts';

/** Baker's percentages: each ingredient as a fraction of the flour. */
export type Parts = { hydration: number; salt: number; yeast: number; oil?: number; sugar?: number };

/** What the dough is scaled by: pizzas of a size, the mass in the bowl, or the flour that is there. Grams. */
type Amount = { pizzas: number; ballGrams: number } | { totalGrams: number } | { flourGrams: number };

const sumOfParts = ({ hydration, salt, yeast, oil = 0, sugar = 0 }: Parts): number =>
  1 + hydration + salt + yeast + oil + sugar;

/**
 * Flour, g. Flour = n · ball / (1 + h + s + y + oil + sugar) / (1 − loss) (baker's percentages, common practice).
 * `loss` is the fraction of the dough that stays on hands and bowl, 0 to 0.25; it does not apply to flour at hand.
 * @throws OutOfRange for nothing to make, or a loss outside its range
 */
function flourFor(parts: Parts, amount: Amount, loss = 0): number {
  within('The loss', loss, [0, 0.25]);
  if ('flourGrams' in amount) return within('The flour', amount.flourGrams, [1, 1_000_000], 'g');
  if ('totalGrams' in amount)
    return within('The dough', amount.totalGrams, [1, 1_000_000], 'g') / sumOfParts(parts);
  const balls = within('The number of pizzas', amount.pizzas, [1, 10_000]);
  return (balls * within('The ball', amount.ballGrams, [1, 5000], 'g')) / sumOfParts(parts) / (1 - loss);
}

/** Exact masses, g, before any rounding. */
export function exactMasses(parts: Parts, amount: Amount, loss = 0): DoughMasses {
  const flourGrams = flourFor(parts, amount, loss);
  const { oil = 0, sugar = 0 } = parts;
  return {
    flourGrams,
    waterGrams: flourGrams * parts.hydration,
    saltGrams: flourGrams * parts.salt,
    yeastGrams: flourGrams * parts.yeast,
    ...(oil > 0 && { oilGrams: flourGrams * oil }),
    ...(sugar > 0 && { sugarGrams: flourGrams * sugar }),
    totalGrams: flourGrams * sumOfParts(parts),
  };
}

/** What scales can show, g: yeast is weighed on a fine scale, the rest on a kitchen scale. */
export type Scale = { coarse: number; fine: number };
const HUNDREDTHS = 100;
const inHundredths = (grams: number, step: number): number =>
  Math.round(Math.round(grams / step) * step * HUNDREDTHS);

/**
 * Masses as a scale shows them, g, whose sum is exactly the total: the flour takes what rounding leaves over (at most
 * half a step for each other ingredient). Counted in hundredths of a gram, so that no binary fraction creeps in.
 */
export function weighable(exact: DoughMasses, scale: Scale = { coarse: 0.1, fine: 0.01 }): DoughMasses {
  const total = inHundredths(exact.totalGrams, scale.coarse);
  const other = {
    waterGrams: inHundredths(exact.waterGrams, scale.coarse),
    saltGrams: inHundredths(exact.saltGrams, Math.min(scale.coarse, 0.1)),
    yeastGrams: inHundredths(exact.yeastGrams, scale.fine),
    ...(exact.oilGrams !== undefined && { oilGrams: inHundredths(exact.oilGrams, scale.coarse) }),
    ...(exact.sugarGrams !== undefined && { sugarGrams: inHundredths(exact.sugarGrams, scale.coarse) }),
  };
  const flour = total - Object.values(other).reduce((sum, each) => sum + each, 0);
  if (flour <= 0) throw new OutOfRange('There is too little dough for this scale: make more of it.');
  const grams = Object.entries(other).map(([name, value]) => [name, value / HUNDREDTHS] as const);
  // The names are those of `other`, which are the members of DoughMasses.
  const rest = Object.fromEntries(grams) as Omit<DoughMasses, 'flourGrams' | 'totalGrams'>;
  return { flourGrams: flour / HUNDREDTHS, ...rest, totalGrams: total / HUNDREDTHS };
}
