import type { Field } from '../../shared/mapping.ts';
import { NUMBER_LENGTHS, type NumberType, type UnitName } from '../../shared/number.ts';
import { LOWEST_CELSIUS, ZERO_CELSIUS_K, fromFahrenheit } from '../../shared/units.ts';
import { signedOf, unsignedOf, type ByteOrder } from './bytes.ts';
import type { Measurement, Quantity } from './decoder.ts';
import { float, sfloat, type Float } from './ieee11073.ts';

/** A number at a place in a frame, as a person describes it: type, scale, unit, and what means "nothing plugged in". */

export const lengthOf = (type: NumberType): number => NUMBER_LENGTHS[type];

/** Each unit leads to what the pipeline takes. */
const UNITS: Record<UnitName, { quantity: Quantity; take(value: number): number }> = {
  C: { quantity: 'celsius', take: (value) => value },
  F: { quantity: 'celsius', take: fromFahrenheit },
  K: { quantity: 'celsius', take: (value) => value - ZERO_CELSIUS_K },
  uV: { quantity: 'millivolt', take: (value) => value / 1000 },
  mV: { quantity: 'millivolt', take: (value) => value },
  V: { quantity: 'millivolt', take: (value) => value * 1000 },
  ohm: { quantity: 'ohm', take: (value) => value },
  kohm: { quantity: 'ohm', take: (value) => value * 1000 },
  junction: { quantity: 'junction', take: (value) => value },
  percent: { quantity: 'battery', take: (value) => value },
};
/** The number as sent. `bytes` are of the type's length. */
export function rawOf(bytes: Uint8Array, type: NumberType, order: ByteOrder): Float {
  if (type === 'float32' || type === 'float64') return binaryOf(bytes, order);
  const unsigned = unsignedOf(bytes, order);
  if (type === 'float') return float(unsigned);
  if (type === 'sfloat') return sfloat(unsigned);
  return { value: type.startsWith('s') ? signedOf(unsigned, bytes.length) : unsigned };
}

function binaryOf(bytes: Uint8Array, order: ByteOrder): Float {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const value =
    bytes.length === 4 ? view.getFloat32(0, order === 'little') : view.getFloat64(0, order === 'little');
  return Number.isFinite(value) ? { value } : { value: null, fault: 'the device sent "not a number"' };
}

/** An integer at the end of its type can't say more: the truth may be beyond. */
function standsAtEnd(raw: number, type: NumberType): boolean {
  const bits = NUMBER_LENGTHS[type] * 8;
  if (type.startsWith('u')) return raw === 2 ** bits - 1;
  return /^s\d/.test(type) && (raw === 2 ** (bits - 1) - 1 || raw === -(2 ** (bits - 1)));
}

/** Bytes → measurement as the field says. */
export function measure(bytes: Uint8Array, field: Field): Measurement {
  const { part, type, order, scale, shift, unit, nothing } = field;
  const { quantity } = UNITS[unit];
  const { value: raw, fault } = rawOf(bytes, type, order);
  if (raw === null) return { part, quantity, value: null, fault };
  if (nothing.includes(raw)) return { part, quantity, value: null, fault: 'nothing is plugged in' };
  return {
    ...inUnit(part, raw * scale + shift, unit),
    ...(standsAtEnd(raw, type) && { clipped: true }),
    ...(fault !== undefined && { fault }),
  };
}

/** A number in a unit → measurement. What can't be has no value. */
export function inUnit(part: string, value: number, unit: UnitName): Measurement {
  const { quantity, take } = UNITS[unit];
  const result = take(value);
  if (!Number.isFinite(result))
    return { part, quantity, value: null, fault: 'the number sent is beyond all bounds' };
  if ((quantity === 'celsius' || quantity === 'junction') && result < LOWEST_CELSIUS)
    return { part, quantity, value: null, fault: 'below absolute zero: no value' };
  if (quantity === 'battery' && (result < 0 || result > 100))
    return { part, quantity, value: null, fault: 'a battery level lies between 0 and 100 %' };
  // 3 · 0.1 is 0.30000000000000004: digits that nobody sent.
  return { part, quantity, value: Number(result.toPrecision(12)) };
}
