import { z } from 'zod';
import { parsed, type Converted, type Converter } from './converter.ts';
import { invert } from './invert.ts';
import {
  REFERENCE_FUNCTIONS,
  THERMOCOUPLE_TYPES,
  type Piece,
  type ThermocoupleType,
} from './thermocouple-reference.ts';

/** °C for which a type is taken at its word. Below −200 °C the voltage hardly changes any more. */
export const THERMOCOUPLE_RANGE: Record<ThermocoupleType, readonly [number, number]> = {
  K: [-200, 1372],
  J: [-210, 1200],
  N: [-200, 1300],
  T: [-200, 400],
};
/** Where a cold junction may be, °C: inside a box beside a grill. */
const COLD_JUNCTION_RANGE_CELSIUS = [-40, 125] as const;

function pieceAt(type: ThermocoupleType, celsius: number): Piece {
  const pieces = REFERENCE_FUNCTIONS[type];
  const found = pieces.find((piece) => celsius <= piece.to) ?? pieces.at(-1);
  if (!found) throw new RangeError(`type ${type} has no reference function`);
  return found;
}

/**
 * Voltage between a junction at `celsius` and one at 0 °C, mV. E(t) = Σ cᵢ·tⁱ [+ a₀·exp(a₁·(t − a₂)²)], NIST Monograph 175.
 */
export function millivolts(type: ThermocoupleType, celsius: number): number {
  const { c, exponential } = pieceAt(type, celsius);
  const E = c.reduceRight((sum, cᵢ) => sum * celsius + cᵢ, 0);
  if (!exponential) return E;
  const [a0, a1, a2] = exponential;
  return E + a0 * Math.exp(a1 * (celsius - a2) ** 2);
}

/** dE/dt, mV/°C. */
function sensitivity(type: ThermocoupleType, celsius: number): number {
  const { c, exponential } = pieceAt(type, celsius);
  const slope = c.reduceRight((sum, cᵢ, i) => (i === 0 ? sum : sum * celsius + i * cᵢ), 0);
  if (!exponential) return slope;
  const [a0, a1, a2] = exponential;
  return slope + 2 * a0 * a1 * (celsius - a2) * Math.exp(a1 * (celsius - a2) ** 2);
}

/**
 * Temperature of the hot junction, °C, of a couple whose other end is at 0 °C: the root of the reference function itself,
 * nearer than the published inverse polynomials (±0.06 °C).
 * @returns null beyond the range of the type
 */
export function hotJunction(type: ThermocoupleType, millivolt: number): number | null {
  const [low, high] = THERMOCOUPLE_RANGE[type];
  if (!(millivolt >= millivolts(type, low) && millivolt <= millivolts(type, high))) return null;
  return invert(
    (t) => millivolts(type, t),
    (t) => sensitivity(type, t),
    millivolt,
    low,
    high,
  );
}

const options = z.object({
  type: z.enum(THERMOCOUPLE_TYPES),
  /** The cold junction: name of the value that tells it, or a fixed °C. Absent: any that the device calls so. */
  junction: z
    .union([
      z.string().max(80),
      z.number().min(COLD_JUNCTION_RANGE_CELSIUS[0]).max(COLD_JUNCTION_RANGE_CELSIUS[1]),
    ])
    .optional(),
});

/** Cold junction as published: voltages are added, never degrees. E_total = E_measured + E(t_cj). */
export const thermocouple: Converter = {
  kind: 'thermocouple',
  label: 'Thermocouple, mV with cold junction',
  takes: ['millivolt'],
  options,
  range: (raw) => THERMOCOUPLE_RANGE[parsed(options, raw).type],
  prepare(raw) {
    const { type, junction: given } = parsed(options, raw);
    const [low, high] = THERMOCOUPLE_RANGE[type];
    return (millivolt, junction): Converted => {
      const cold = typeof given === 'number' ? given : junction;
      if (cold === null) return { celsius: null, fault: 'the temperature of the cold junction is missing' };
      const celsius = hotJunction(type, millivolt + millivolts(type, cold));
      if (celsius === null)
        return {
          celsius: null,
          fault: `open circuit or wrong type: ${millivolt} mV is outside of type ${type} (${low} to ${high} °C)`,
        };
      if (cold >= COLD_JUNCTION_RANGE_CELSIUS[0] && cold <= COLD_JUNCTION_RANGE_CELSIUS[1])
        return { celsius };
      return { celsius, doubt: `the cold junction says ${cold} °C, too hot for any box beside a grill` };
    };
  },
};
