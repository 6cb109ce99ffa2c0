/**
 * Numbers of IEEE 11073-20601: value = mantissa · 10^exponent, two's complement both.
 *
 *     FLOAT   31…24 exponent s8     23…0 mantissa s24
 *     SFLOAT  15…12 exponent s4     11…0 mantissa s12
 *
 * Five mantissas are no numbers. The standard has them with exponent 0 and ordinary mantissas stop short of them, so
 * that they are none with any exponent.
 */
export type Float = { value: number | null; fault?: string };

/** Above 10⁷ or below 10⁻⁸ no thermometer speaks: legal, and absurd. Our choice. */
const EXPONENT_RANGE = [-8, 7] as const;

function nothing(mantissa: number, half: number): string | null {
  if (mantissa === half - 1) return 'the thermometer says that it has no value';
  if (mantissa === half) return 'the thermometer can not measure at this resolution';
  if (mantissa === half - 2) return 'above what the thermometer can measure';
  if (mantissa === half + 2) return 'below what the thermometer can measure';
  if (mantissa === half + 1) return 'the thermometer sent a reserved value';
  return null;
}

/** @param half 2 to the power of (mantissa bits − 1) */
function decimal(mantissa: number, exponent: number, half: number): Float {
  const none = nothing(mantissa, half);
  if (none !== null) return { value: null, fault: none };
  const m = mantissa >= half ? mantissa - 2 * half : mantissa;
  // Read as text it is the nearest double, which neither product nor quotient of two rounded numbers always is.
  const value = Number(`${m}e${exponent}`);
  const usual = exponent >= EXPONENT_RANGE[0] && exponent <= EXPONENT_RANGE[1];
  return usual || m === 0 ? { value } : { value, fault: `an exponent of ${exponent} is legal, and absurd` };
}

/** @param raw unsigned 32 bits */
export function float(raw: number): Float {
  const exponent = Math.floor(raw / 2 ** 24);
  return decimal(raw % 2 ** 24, exponent >= 128 ? exponent - 256 : exponent, 2 ** 23);
}

/** @param raw unsigned 16 bits */
export function sfloat(raw: number): Float {
  const exponent = raw >> 12;
  return decimal(raw & 0xfff, exponent >= 8 ? exponent - 16 : exponent, 2 ** 11);
}
