import type { Yeast } from '../../../../shared/evening/evening.ts';

/** Grams that do as much as 1 g fresh yeast (1 : 0.4 : 0.33 by weight, professional baking texts). */
const GRAMS_PER_FRESH_GRAM: Record<Yeast, number> = { fresh: 1, 'active-dry': 0.4, instant: 0.33 };

/** Amount of another yeast that does as much. Any unit of mass, or a fraction of the flour. */
export const convertYeast = (amount: number, from: Yeast, to: Yeast): number =>
  (amount * GRAMS_PER_FRESH_GRAM[to]) / GRAMS_PER_FRESH_GRAM[from];

/** °C. T_opt and T_max of S. cerevisiae: Salvadó et al. 2011; T_min assumed (the genus spans 1.3 to 4.3 °C). */
const [T_MIN, T_OPT, T_MAX] = [2.8, 32.3, 45.4];

/**
 * Growth of yeast against its best, 0 to 1, at `T` °C: cardinal temperature model with inflection (Rosso et al. 1993):
 * γ = (T − T_max)(T − T_min)² / {(T_opt − T_min)[(T_opt − T_min)(T − T_opt) − (T_opt − T_max)(T_opt + T_min − 2T)]}.
 * 0 outside T_min to T_max.
 */
export function growth(T: number): number {
  if (T <= T_MIN || T >= T_MAX) return 0;
  const span = T_OPT - T_MIN;
  const below = span * (span * (T - T_OPT) - (T_OPT - T_MAX) * (T_OPT + T_MIN - 2 * T));
  return ((T - T_MAX) * (T - T_MIN) ** 2) / below;
}

/** Below this, °C, γ falls to nothing where dough still works: the Q₁₀ form takes over. */
const GAMMA_ABOVE_CELSIUS = 15;
/**
 * Rate for 10 °C colder. From 5 to 30 °C bakers reckon with 2 to 2.5 (common practice, no source); towards the fridge
 * it falls faster: 3 is our estimate, between that and γ, held by the cold doughs in the tests.
 */
const Q10 = 3;

/**
 * How fast dough works at `T` °C against its best, 0 to 1: γ from 15 °C to its best at 32.3 °C, below it
 * γ(15)·Q₁₀^((T − 15)/10). Above the best it is held at 1: a dough too warm for its yeast is never given more of it.
 */
export function workRate(T: number): number {
  if (T >= T_OPT) return 1;
  return T >= GAMMA_ABOVE_CELSIUS
    ? growth(T)
    : growth(GAMMA_ABOVE_CELSIUS) * Q10 ** ((T - GAMMA_ABOVE_CELSIUS) / 10);
}

/** Work is counted in hours at this temperature, °C. */
export const REFERENCE_CELSIUS = 25;

/** A dough that is ripe: this much instant yeast, fraction of the flour, works these hours at 25 °C. */
const RIPE_DOUGH = { fraction: 0.000785, hours: 7 };
/** Yeast multiplies and needs time to wake: twice the time wants a little less than half the yeast (our estimate). */
const TIME_EXPONENT = 1.15;

/** Share of the air pressure at sea level (standard atmosphere, ISO 2533), −500 to 5000 m. */
const pressureAt = (metres: number): number => (1 - (0.0065 * metres) / 288.15) ** 5.25588;

/**
 * How ripe a dough is, 1 = ready: r = (y / 0.0785 %)·(W / 7 h)^1.15·p₀/p, `fraction` y of instant yeast on the flour, W
 * hours of work at 25 °C. The gas takes more room in thinner air. To ±30 % (common practice, no source).
 */
export const ripenessOf = (fraction: number, work: number, altitudeM = 0): number =>
  ((fraction / RIPE_DOUGH.fraction) * (work / RIPE_DOUGH.hours) ** TIME_EXPONENT) / pressureAt(altitudeM);

/** Instant yeast, fraction of the flour, that is ripe after so much work. */
export const fractionFor = (work: number, altitudeM = 0): number =>
  RIPE_DOUGH.fraction * (work / RIPE_DOUGH.hours) ** -TIME_EXPONENT * pressureAt(altitudeM);

/** Work, h at 25 °C, after which so much instant yeast is ripe. */
export const workFor = (fraction: number, altitudeM = 0): number =>
  RIPE_DOUGH.hours * ((RIPE_DOUGH.fraction * pressureAt(altitudeM)) / fraction) ** (1 / TIME_EXPONENT);

/** How far yeast and time may be out, as a fraction. */
export const YEAST_DOUBT = 0.3;
/** Instant yeast, fraction of the flour, within which doughs are made: less is not weighed, more tastes of it. */
export const INSTANT_RANGE = [0.00005, 0.015] as const;
