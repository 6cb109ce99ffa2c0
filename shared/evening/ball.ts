/** Grams of dough for a pizza of that size across, cm: one table for page and command (common practice, no source). */
export const BALL_SIZES = [
  { diameterCm: 28, ballGrams: 230 },
  { diameterCm: 31, ballGrams: 265 },
  { diameterCm: 34, ballGrams: 310 },
] as const;

/** Default: the middle size. */
export const [, { diameterCm: USUAL_CM, ballGrams: USUAL_BALL }] = BALL_SIZES;

const areaRatio = (a: number, b: number): number => (a / b) ** 2;

/** Ball, g to 5 g, for a pizza of `diameterCm`: the table, straight lines between its sizes, by area outside of it. */
export function ballFor(diameterCm: number): number {
  const [small, middle, large] = BALL_SIZES;
  const between = (a: (typeof BALL_SIZES)[number], b: (typeof BALL_SIZES)[number]): number =>
    a.ballGrams + ((b.ballGrams - a.ballGrams) * (diameterCm - a.diameterCm)) / (b.diameterCm - a.diameterCm);
  const grams =
    diameterCm < small.diameterCm
      ? small.ballGrams * areaRatio(diameterCm, small.diameterCm)
      : diameterCm > large.diameterCm
        ? large.ballGrams * areaRatio(diameterCm, large.diameterCm)
        : diameterCm < middle.diameterCm
          ? between(small, middle)
          : between(middle, large);
  return Math.round(grams / 5) * 5;
}

/** A mass as a kitchen scale shows it and a cook reads it, g: whole from 20 g on. Without the unit. */
export const gramsText = (grams: number): string =>
  String(Number(grams.toFixed(grams >= 20 ? 0 : grams >= 2 ? 1 : 2)));

/** Flour for board and peel, g a pizza (common practice, no source). */
export const BENCH_FLOUR = 8;
