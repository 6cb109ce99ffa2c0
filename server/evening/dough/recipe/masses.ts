import type { DoughMasses } from '../../../../shared/evening/evening.ts';

/** Baker's percentages: each ingredient as a fraction of the flour. */
export type Parts = { hydration: number; salt: number; yeast: number; oil?: number; sugar?: number };

const sumOfParts = ({ hydration, salt, yeast, oil = 0, sugar = 0 }: Parts): number =>
  1 + hydration + salt + yeast + oil + sugar;

/** Exact masses of so much dough, g, before any rounding. */
export function exactMasses(parts: Parts, totalGrams: number): DoughMasses {
  const flourGrams = totalGrams / sumOfParts(parts);
  const { oil = 0, sugar = 0 } = parts;
  return {
    flourGrams,
    waterGrams: flourGrams * parts.hydration,
    saltGrams: flourGrams * parts.salt,
    yeastGrams: flourGrams * parts.yeast,
    ...(oil > 0 && { oilGrams: flourGrams * oil }),
    ...(sugar > 0 && { sugarGrams: flourGrams * sugar }),
    totalGrams,
  };
}

/** What scales can show, g: yeast is weighed on a fine scale, the rest on a kitchen scale. */
const SCALE_GRAMS = { coarse: 0.1, fine: 0.01 } as const;
const HUNDREDTHS_PER_GRAM = 100;
const inHundredths = (grams: number, step: number = SCALE_GRAMS.coarse): number =>
  Math.round(Math.round(grams / step) * step * HUNDREDTHS_PER_GRAM);

/**
 * Masses as a scale shows them, g, whose sum is exactly the total: the flour takes what rounding leaves over (at most
 * half a step for each other ingredient). Counted in hundredths of a gram, so that no binary fraction creeps in.
 */
export function weighable(exact: DoughMasses): DoughMasses {
  const total = inHundredths(exact.totalGrams);
  const other = {
    waterGrams: inHundredths(exact.waterGrams),
    saltGrams: inHundredths(exact.saltGrams),
    yeastGrams: inHundredths(exact.yeastGrams, SCALE_GRAMS.fine),
    ...(exact.oilGrams !== undefined && { oilGrams: inHundredths(exact.oilGrams) }),
    ...(exact.sugarGrams !== undefined && { sugarGrams: inHundredths(exact.sugarGrams) }),
  };
  const flour = total - Object.values(other).reduce((sum, each) => sum + each, 0);
  const grams = Object.entries(other).map(([name, value]) => [name, value / HUNDREDTHS_PER_GRAM] as const);
  // The names are those of `other`, which are the members of DoughMasses.
  const rest = Object.fromEntries(grams) as Omit<DoughMasses, 'flourGrams' | 'totalGrams'>;
  return { flourGrams: flour / HUNDREDTHS_PER_GRAM, ...rest, totalGrams: total / HUNDREDTHS_PER_GRAM };
}
