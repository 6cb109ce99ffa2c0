/** Types and units of numbers in frames; apart from the schemas, so that the page can list them without zod. */
export const NUMBER_TYPES = [
  'u8',
  's8',
  'u16',
  's16',
  'u24',
  's24',
  'u32',
  's32',
  'float32',
  'float64',
  /** IEEE 11073, 16 and 32 bits. */
  'sfloat',
  'float',
] as const;
export type NumberType = (typeof NUMBER_TYPES)[number];

/** Bytes of each. */
export const NUMBER_LENGTHS: Record<NumberType, number> = {
  u8: 1,
  s8: 1,
  u16: 2,
  s16: 2,
  u24: 3,
  s24: 3,
  u32: 4,
  s32: 4,
  float32: 4,
  float64: 8,
  sfloat: 2,
  float: 4,
};

/** Beside temperatures what a conversion makes one of, the cold junction of a couple (°C) and a battery (%). */
export const UNIT_NAMES = ['C', 'F', 'K', 'uV', 'mV', 'V', 'ohm', 'kohm', 'junction', 'percent'] as const;
export type UnitName = (typeof UNIT_NAMES)[number];
