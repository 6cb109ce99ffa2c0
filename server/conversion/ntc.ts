import { z } from 'zod';
import { ZERO_CELSIUS_K } from '../../shared/units.ts';
import { parsed, type Converted, type Converter } from './converter.ts';

/** 1/T = a + b·ln R + c·(ln R)³, T in K, R in Ω (Steinhart & Hart 1968). */
type SteinhartHart = { a: number; b: number; c: number };

/** @returns °C, or null where the function has no temperature */
export function ntcCelsius({ a, b, c }: SteinhartHart, ohm: number): number | null {
  const L = Math.log(ohm);
  const inverse = a + b * L + c * L ** 3;
  const celsius = 1 / inverse - ZERO_CELSIUS_K;
  return inverse > 0 && Number.isFinite(celsius) ? celsius : null;
}

/** Inverse: x = (a − 1/T)/c, y = √((b/3c)³ + x²/4), R = exp(∛(y − x/2) − ∛(y + x/2)); with c = 0, exp((1/T − a)/b). */
export function ntcOhm({ a, b, c }: SteinhartHart, celsius: number): number {
  const inverse = 1 / (celsius + ZERO_CELSIUS_K);
  if (c === 0) return Math.exp((inverse - a) / b);
  const x = (a - inverse) / c;
  const y = Math.sqrt((b / (3 * c)) ** 3 + x ** 2 / 4);
  return Math.exp(Math.cbrt(y - x / 2) - Math.cbrt(y + x / 2));
}

/** The beta equation 1/T = 1/T₀ + ln(R/R₀)/β is Steinhart–Hart with c = 0. */
export function ofBeta(beta: number, r0: number, t0: number): SteinhartHart {
  const b = 1 / beta;
  return { a: 1 / (t0 + ZERO_CELSIUS_K) - b * Math.log(r0), b, c: 0 };
}

export type Point = { celsius: number; ohm: number };

/** Steinhart–Hart through three points, by the linear equations that they give. */
export function throughPoints(p1: Point, p2: Point, p3: Point): SteinhartHart {
  const [L1, L2, L3] = [Math.log(p1.ohm), Math.log(p2.ohm), Math.log(p3.ohm)];
  const [Y1, Y2, Y3] = [p1, p2, p3].map((p) => 1 / (p.celsius + ZERO_CELSIUS_K)) as [number, number, number]; // of three
  const γ2 = (Y2 - Y1) / (L2 - L1);
  const γ3 = (Y3 - Y1) / (L3 - L1);
  const c = (γ3 - γ2) / (L3 - L2) / (L1 + L2 + L3);
  const b = γ2 - c * (L1 ** 2 + L1 * L2 + L2 ** 2);
  return { a: Y1 - (b + L1 ** 2 * c) * L1, b, c };
}

/** °C between which a bead of this kind lives; beyond them the lead is broken or bridged. */
const NTC_RANGE_CELSIUS = [-60, 400] as const;
/** A fit is taken at its word this far beyond its points, °C. */
const EXTRAPOLATION_CELSIUS = 15;

const point = z.object({ celsius: z.number().min(-60).max(400), ohm: z.number().gt(0).max(1e8) });
const options = z
  .discriminatedUnion('model', [
    z.object({
      model: z.literal('steinhart-hart'),
      a: z.number(),
      b: z.number().gt(0),
      c: z.number().min(0).default(0),
    }),
    z.object({
      model: z.literal('beta'),
      beta: z.number().min(500).max(10_000),
      /** Resistance, Ω, at `t0`, °C. */
      r0: z.number().gt(0).max(1e8),
      t0: z.number().min(-60).max(300).default(25),
    }),
    z.object({ model: z.literal('points'), points: z.tuple([point, point, point]) }),
  ])
  .superRefine((given, context) => {
    if (given.model !== 'points') return;
    const warmFirst = given.points.toSorted((p, q) => q.celsius - p.celsius);
    const falls = warmFirst.every((p, i) => {
      const cooler = warmFirst[i + 1];
      return !cooler || (cooler.celsius < p.celsius && cooler.ohm > p.ohm);
    });
    const { b, c } = throughPoints(...given.points);
    if (!falls || !(b > 0) || !(c >= 0))
      context.addIssue({
        code: 'custom',
        path: ['points'],
        message: 'three different temperatures, and the warmer the fewer ohms',
      });
  });

function fitOf(given: z.output<typeof options>): SteinhartHart {
  if (given.model === 'steinhart-hart') return given;
  if (given.model === 'beta') return ofBeta(given.beta, given.r0, given.t0);
  return throughPoints(...given.points);
}

/** °C in which the options may be trusted. */
function trustedIn(given: z.output<typeof options>): readonly [number, number] {
  if (given.model !== 'points') return NTC_RANGE_CELSIUS;
  const all = given.points.map((p) => p.celsius);
  return [Math.min(...all) - EXTRAPOLATION_CELSIUS, Math.max(...all) + EXTRAPOLATION_CELSIUS];
}

export const ntc: Converter = {
  kind: 'ntc',
  label: 'NTC thermistor, Ω',
  takes: ['ohm'],
  options,
  range: () => NTC_RANGE_CELSIUS,
  prepare(raw) {
    const given = parsed(options, raw);
    const fit = fitOf(given);
    const [low, high] = trustedIn(given);
    const [mostOhm, leastOhm] = NTC_RANGE_CELSIUS.map((celsius) => ntcOhm(fit, celsius)) as [number, number]; // of two
    return (ohm): Converted => {
      if (!(ohm < mostOhm))
        return { celsius: null, fault: `open circuit: ${ohm} Ω is more than this sensor has` };
      if (!(ohm > leastOhm))
        return { celsius: null, fault: `short circuit: ${ohm} Ω is less than this sensor has` };
      const celsius = ntcCelsius(fit, ohm);
      if (celsius === null) return { celsius, fault: `${ohm} Ω is not a resistance of this sensor` };
      if (celsius >= low && celsius <= high) return { celsius };
      return {
        celsius,
        doubt: `beyond the points (${low + EXTRAPOLATION_CELSIUS} to ${high - EXTRAPOLATION_CELSIUS} °C) that were measured`,
      };
    };
  },
};
