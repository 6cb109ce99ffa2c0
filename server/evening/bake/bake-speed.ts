import { ZERO_CELSIUS_K } from '../../../shared/units.ts';
import type { StoneSetup } from '../../../shared/evening/evening.ts';
import { DOUGH_AT_LAUNCH_CELSIUS, diffusivity, MATERIAL_PROPERTIES } from '../stone/materials.ts';

/**
 * How much faster a bake goes at one temperature than at another: ln of the factor, more than 0 where it is faster.
 * `agrees`: whether two independent estimates differ by less than a third.
 */
export type Speed = { ln: number; agrees: boolean };

/** Two estimates that differ by more than this factor are not to be relied on. */
const MIN_LOG_RATIO = Math.log(4 / 3);

/** Their middle; the further they are apart beyond a third, the less of it: with no agreement less is moved. */
export function compared(a: number, b: number): Speed {
  const apart = Math.abs(a - b);
  return {
    ln: ((a + b) / 2) * Math.min(1, MIN_LOG_RATIO / Math.max(apart, MIN_LOG_RATIO)),
    agrees: apart <= MIN_LOG_RATIO,
  };
}

/**
 * Bake times on a floor of fire brick, °C and s: 7 to 8 min near 270 °C (common practice, no source); 2 min at 330 °C
 * (Varlamov, Glatz & Grasso 2018, arXiv 1806.08790, from press reports); 60 to 90 s at 450 to 485 °C (Reg. (EU)
 * 97/2010, annex, recalled).
 */
export const PUBLISHED_BAKES = [
  [270, 450],
  [330, 120],
  [467.5, 75],
] as const;

/** °C over which the bake time falls to a tenth: the mean slope of log₁₀ time between neighbouring pairs. */
export const Z_CELSIUS = (() => {
  const slopes = PUBLISHED_BAKES.slice(1).map(([celsius, seconds], i) => {
    const [before, longer] = PUBLISHED_BAKES[i] ?? [celsius, seconds];
    return Math.log10(longer / seconds) / (celsius - before);
  });
  return slopes.length / slopes.reduce((sum, slope) => sum + slope, 0);
})();

/** First estimate, for base and top alike: the line of log time against temperature through the published pairs. */
const byLine = (celsius: number, reference: number): number =>
  (Math.LN10 * (celsius - reference)) / Z_CELSIUS;

/** A drying crust stays at 100 °C; nearer to it than this, °C, the ratio of heats means nothing. */
const BOILING_CELSIUS = 100;
const MIN_OVER_BOILING_CELSIUS = 10;

/**
 * Seconds for which a plate is as good as half-infinite, L²/(πα): after that it runs empty, and only its temperature as
 * it is says what it gives (textbook; 0.8 s for 6 mm of steel, 76 s for 15 mm of cordierite).
 */
export const halfInfiniteSeconds = ({
  material,
  thicknessMm,
}: Pick<StoneSetup, 'material' | 'thicknessMm'>): number =>
  (thicknessMm / 1000) ** 2 / (Math.PI * diffusivity(MATERIAL_PROPERTIES[material]));

/**
 * Second estimate of the base: heat through the contact, in proportion to the temperature across it. While the plate is
 * half-infinite, q = e₁e₂/(e₁ + e₂)·(T − T_dough)/√(πt), whose effusivities are the same on both sides of the ratio;
 * after that the plate's own temperature drives heat into a base that boils.
 */
function byContact(celsius: number, reference: number, since: number, halfInfinite: number): number {
  const sink = since < halfInfinite ? DOUGH_AT_LAUNCH_CELSIUS : BOILING_CELSIUS;
  return Math.log(
    Math.max(MIN_OVER_BOILING_CELSIUS, celsius - sink) / Math.max(MIN_OVER_BOILING_CELSIUS, reference - sink),
  );
}

/** Fourth power of kelvin less that of a top at 100 °C, by which a dome radiates on it (Stefan–Boltzmann). */
const radiated = (celsius: number): number =>
  (Math.max(BOILING_CELSIUS + MIN_OVER_BOILING_CELSIUS, celsius) + ZERO_CELSIUS_K) ** 4 -
  (BOILING_CELSIUS + ZERO_CELSIUS_K) ** 4;

/** Speed of the base at a stone of `celsius` against `reference`, `since` s after the launch. */
export const baseSpeed = (celsius: number, reference: number, since: number, halfInfinite: number): Speed =>
  compared(byLine(celsius, reference), byContact(celsius, reference, since, halfInfinite));

/** Speed of the top under a dome of `celsius` against `reference`. */
export const topSpeed = (celsius: number, reference: number): Speed =>
  compared(byLine(celsius, reference), Math.log(radiated(celsius) / radiated(reference)));
