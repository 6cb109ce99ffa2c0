import type { Yeast } from '../../../shared/evening.ts';
import { figure, OutOfRange, within } from '../range.ts';

/** Grams that do as much as 1 g fresh yeast (handbook section 10: 1 : 0.4 : 0.33 by weight). */
const PER_FRESH: Record<Yeast, number> = { fresh: 1, 'active-dry': 0.4, instant: 0.33 };

/** Amount of another yeast that does as much. Any unit of mass, or a fraction of the flour. */
export const convertYeast = (amount: number, from: Yeast, to: Yeast): number =>
  (amount * PER_FRESH[to]) / PER_FRESH[from];

/** °C. T_opt and T_max of S. cerevisiae: Salvadó et al. 2011; T_min assumed (handbook section 10). */
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
const COOL = 15;
/** Rate for 10 °C colder (handbook section 10: 2 to 2.5 between 5 and 30 °C; the upper end, being so cold). */
const Q10 = 2.5;
export const DOUGH_RANGE = [0, 40] as const;

/**
 * How fast dough works at `T` °C against its best, 0 to 1: γ from 15 to 40 °C, below it γ(15)·Q₁₀^((T − 15)/10).
 * @throws OutOfRange outside 0 to 40 °C
 */
export function workRate(T: number): number {
  within('The dough', T, DOUGH_RANGE, '°C');
  return T >= COOL ? growth(T) : growth(COOL) * Q10 ** ((T - COOL) / 10);
}

/** A stretch of time in one place: hours, and how warm it is there, °C. `kilograms` is what lies in one piece. */
export type Stay = { hours: number; ambientC: number; kilograms: number };

/** Dough: heat capacity kJ/kgK and density kg/m³ (handbook section 7, middle); U of still air, W/m²K, recalled. */
const [C_DOUGH, RHO_DOUGH, U_AIR] = [2400, 1000, 8];

/**
 * Time constant, h, with which a lump of dough takes on the temperature around it: τ = m·c / (U·A), A that of a ball
 * of its volume, 4.84·V^(2/3). An estimate: about 2 h for 1.5 kg and 1.1 h for a 250 g ball. Mass from 0.05 to 100 kg.
 */
export function settlingHours(kilograms: number): number {
  const m = within('The lump of dough', kilograms, [0.05, 100], 'kg');
  return (m * C_DOUGH) / (U_AIR * 4.84 * (m / RHO_DOUGH) ** (2 / 3)) / 3600;
}

/** Where the practice that all is measured against stands: 22 °C (handbook section 10). */
const ANCHOR = { fraction: 0.004, hours: 2.75, celsius: 22 };
const SLICES = 48;

/**
 * Hours at 22 °C that do as much as these stays do, for a dough that starts at `startC` and takes on each place's
 * temperature, T = T_place + (T₀ − T_place)·e^(−t/τ); the rate is summed by the midpoint rule.
 */
export function ripeHours(stays: readonly Stay[], startC: number): number {
  let [celsius, done] = [startC, 0];
  for (const { hours, ambientC, kilograms } of stays) {
    const [step, tau, before] = [hours / SLICES, settlingHours(kilograms), celsius];
    const at = (t: number): number => ambientC + (before - ambientC) * Math.exp(-t / tau);
    for (let i = 0; i < SLICES; i++) done += workRate(at((i + 0.5) * step)) * step;
    celsius = at(hours);
  }
  return done / workRate(ANCHOR.celsius);
}

/** How far yeast and time may be out, as a fraction: the proportion is a first guess (handbook section 10). */
export const YEAST_DOUBT = 0.3;
/** Instant yeast, fraction of the flour, within which this is said (0.02 to 1 % is common; handbook section 10). */
export const INSTANT_RANGE = [0.0001, 0.02] as const;

/**
 * Yeast for these stays as a fraction of the flour: dose × rate × time is constant, from 0.4 % instant for 2.75 h at
 * 22 °C (common practice). To ±30 %.
 * @throws OutOfRange where it would be under 0.01 % or over 2 % instant
 */
export function yeastFor(stays: readonly Stay[], startC: number, kind: Yeast): number {
  const fraction = (ANCHOR.fraction * ANCHOR.hours) / ripeHours(stays, startC);
  const [low, high] = INSTANT_RANGE;
  if (fraction > high) throw refusal(fraction, 'give it longer or a warmer place');
  if (fraction < low) throw refusal(fraction, 'give it less time or a cooler place');
  return convertYeast(fraction, 'instant', kind);
}

const refusal = (fraction: number, cure: string): OutOfRange =>
  new OutOfRange(
    `The dough would want ${figure(fraction * 100, 3)} % instant yeast, but this holds from ${INSTANT_RANGE[0] * 100} to ${INSTANT_RANGE[1] * 100} %: ${cure}.`,
    'bulkHours',
  );

const HOURS_RANGE = [1, 96] as const;

/**
 * Hours that this yeast wants, to ±30 %. `stays` tells where the dough lies in a given number of hours; more hours must
 * mean more work. Found by halving to 0.01 h.
 * @throws OutOfRange where it would be under 1 h or over 96 h
 */
export function hoursFor(
  fraction: number,
  kind: Yeast,
  stays: (hours: number) => readonly Stay[],
  startC: number,
  least: number = HOURS_RANGE[0],
): number {
  const instant = convertYeast(fraction, kind, 'instant');
  const want = (ANCHOR.fraction * ANCHOR.hours) / instant;
  let [low, high]: [number, number] = [least, HOURS_RANGE[1]];
  const said = `${figure(fraction * 100, 3)} % ${kind} yeast`;
  if (ripeHours(stays(low), startC) > want * 1.0001)
    throw new OutOfRange(
      `With ${said} the dough is ripe in less than ${figure(low)} h here: take less yeast.`,
      'yeastFraction',
    );
  if (ripeHours(stays(high), startC) < want)
    throw new OutOfRange(
      `With ${said} the dough takes more than ${high} h here: take more yeast.`,
      'yeastFraction',
    );
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    if (ripeHours(stays(middle), startC) < want) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
