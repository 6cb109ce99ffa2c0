import { ZERO_CELSIUS_K } from '../../../shared/units.ts';
import { contact, touchOf, type Touch } from '../stone/contact.ts';

/**
 * How much a temperature does, in seconds at a reference: the integral over a straight piece of the curve, exact.
 * `from` and `to` °C, `seconds` long.
 */
export type Dose = (from: number, to: number, seconds: number) => number;

/** Smallest change over a piece, °C, that is not flat: below it the exact form divides by nothing. */
const FLAT = 1e-6;

/**
 * Log-linear dose, C = ∫ 10^((T − T_ref)/z) dt; on a straight piece z/(ln 10 · slope)·(L₂ − L₁) with
 * L = 10^((T − T_ref)/z) (handbook section 12). All °C; the unit of the answer is that of `seconds`.
 */
export const logLinear =
  (reference: number, z: number): Dose =>
  (from, to, seconds) => {
    const L = (T: number): number => 10 ** ((T - reference) / z);
    if (Math.abs(to - from) < FLAT) return L((from + to) / 2) * seconds;
    return ((z * seconds) / (Math.LN10 * (to - from))) * (L(to) - L(from));
  };

/** Stone and dome of common practice, °C (handbook section 10): where one second counts as one. */
export const REFERENCE = { stone: 270, dome: 250 } as const;
/**
 * z of the base on the contact temperature, °C: the 80 °C on a cordierite stone's temperature with which the handbook
 * starts (section 12), times dT_contact/dT_stone. Crust colour gives 50 to 80.
 */
const CORDIERITE = touchOf('cordierite');
export const Z_BASE = 80 * (contact(1, CORDIERITE) - contact(0, CORDIERITE));

/** Dose of a base from the stone's temperature: log-linear in the contact temperature. 1 s at 270 °C cordierite is 1. */
export function baseDose(touch: Touch = CORDIERITE): Dose {
  const dose = logLinear(contact(REFERENCE.stone, CORDIERITE), Z_BASE);
  // A stone beyond what contact holds for is taken at its end: a live bake must not stop at one wild reading.
  const at = (stoneC: number): number => contact(Math.max(-50, Math.min(600, stoneC)), touch);
  return (from, to, seconds) => dose(at(from), at(to), seconds);
}

const kelvin = (celsius: number): number => celsius + ZERO_CELSIUS_K;
/** A drying top stays at 100 °C (handbook sections 7 and 12). */
const TOP_K = 373.15;
const AT_REFERENCE = kelvin(REFERENCE.dome) ** 4 - TOP_K ** 4;

/**
 * Dose of a top from the dome's temperature: what it radiates above a top of 100 °C, (T⁴ − 373.15⁴), against a dome of
 * 250 °C; on a straight piece ∫T⁴ = (T₂⁵ − T₁⁵)/(5·slope). A dome below 100 °C does nothing.
 */
export const topDose: Dose = (from, to, seconds) => {
  const [a, b] = [kelvin(from), kelvin(to)];
  if (a <= TOP_K && b <= TOP_K) return 0;
  if (a < TOP_K || b < TOP_K)
    return topDose(Math.max(from, 100), Math.max(to, 100), (seconds * above(a, b)) / Math.abs(b - a));
  // (b⁵ − a⁵)/(b − a) written out, so that a level piece divides by nothing
  const fourth = (a ** 4 + a ** 3 * b + a * a * b * b + a * b ** 3 + b ** 4) / 5;
  return ((fourth - TOP_K ** 4) * seconds) / AT_REFERENCE;
};

/** How much of the way between two temperatures lies above 100 °C, K. */
const above = (a: number, b: number): number => Math.max(a, b) - TOP_K;

/** A point of a curve: seconds and °C. */
export type Point = { t: number; celsius: number };

/** Dose along a curve of straight pieces, points in time order. */
export function doseOf(points: readonly Point[], dose: Dose): number {
  let sum = 0;
  points.forEach((point, i) => {
    const last = points[i - 1];
    if (last) sum += dose(last.celsius, point.celsius, point.t - last.t);
  });
  return sum;
}

/** Farthest look ahead, s. */
const HORIZON = 1800;

/**
 * When a dose is reached: walks along the curve (the last value holds) and halves within the piece, to 0.05 s.
 * Null where it takes longer than half an hour.
 */
export function whenDose(need: number, curve: readonly Point[], dose: Dose): number | null {
  const [first] = curve;
  if (!first) return null;
  if (need <= 0) return first.t;
  const last = curve[curve.length - 1] ?? first;
  const pieces = [...curve, { t: first.t + HORIZON, celsius: last.celsius }].filter(
    ({ t }) => t <= first.t + HORIZON,
  );
  let left = need;
  for (let i = 1; i < pieces.length; i++) {
    const [a, b] = [pieces[i - 1] ?? first, pieces[i] ?? first];
    const whole = dose(a.celsius, b.celsius, b.t - a.t);
    if (whole >= left) return a.t + within(left, a, b, dose);
    left -= whole;
  }
  return null;
}

function within(left: number, a: Point, b: Point, dose: Dose): number {
  const length = b.t - a.t;
  let [low, high] = [0, length];
  while (high - low > 0.05) {
    const middle = (low + high) / 2;
    const at = a.celsius + ((b.celsius - a.celsius) * middle) / length;
    if (dose(a.celsius, at, middle) < left) low = middle;
    else high = middle;
  }
  return high;
}
