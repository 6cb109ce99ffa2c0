import { z } from 'zod';
import { parsed, type Converted, type Converter } from './converter.ts';
import { invert } from './invert.ts';

/** Callendar–Van Dusen coefficients of IEC 60751, °C⁻¹, °C⁻², °C⁻⁴. */
const A = 3.9083e-3;
const B = -5.775e-7;
const C = -4.183e-12;
const PLATINUM_RANGE_CELSIUS = [-200, 850] as const;

/** R/R₀ at `celsius`: 1 + At + Bt², and below 0 °C C·(t − 100)·t³ more (IEC 60751). */
export function platinumRatio(celsius: number): number {
  const t = celsius;
  const ratio = 1 + A * t + B * t * t;
  return t < 0 ? ratio + C * (t - 100) * t ** 3 : ratio;
}

const slope = (t: number): number => A + 2 * B * t + (t < 0 ? C * (4 * t ** 3 - 300 * t ** 2) : 0);

/**
 * Temperature, °C, from R/R₀. t = (−A + √(A² − 4B(1 − R/R₀)))/(2B) at 0 °C and above; below, the root of the fourth power.
 * @returns null outside −200…850 °C
 */
export function platinumCelsius(ratio: number): number | null {
  const [low, high] = PLATINUM_RANGE_CELSIUS;
  if (!(ratio >= platinumRatio(low) && ratio <= platinumRatio(high))) return null;
  if (ratio < 1) return invert(platinumRatio, slope, ratio, low, 0);
  return (-A + Math.sqrt(A * A - 4 * B * (1 - ratio))) / (2 * B);
}

const options = z.object({
  /** Resistance at 0 °C, Ω: 100 for Pt100, 1000 for Pt1000. */
  r0: z.number().min(10).max(10_000).default(100),
  /** Resistance of the leads, Ω, where the board does not take it off: each ohm reads as +2.8 °C near 270 °C on a Pt100. */
  lead: z.number().min(0).max(100).default(0),
});

export const platinum: Converter = {
  kind: 'platinum',
  label: 'Platinum resistance, Pt100 or Pt1000',
  takes: ['ohm'],
  options,
  range: () => PLATINUM_RANGE_CELSIUS,
  prepare(raw) {
    const { r0, lead } = parsed(options, raw);
    return (ohm): Converted => {
      const ratio = (ohm - lead) / r0;
      const celsius = platinumCelsius(ratio);
      if (celsius !== null) return { celsius };
      const what = ratio < 1 ? 'short circuit' : 'open circuit';
      return { celsius, fault: `${what}: ${ohm} Ω is outside of −200 to 850 °C` };
    };
  },
};
