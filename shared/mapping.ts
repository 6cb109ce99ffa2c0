import { z } from 'zod';
import { NUMBER_TYPES, UNIT_NAMES } from './number.ts';

export { NUMBER_TYPES, UNIT_NAMES, type NumberType, type UnitName } from './number.ts';

/** How a person says what a number in a frame is: its type, scale and unit, and what means "nothing plugged in". */
export const field = z.object({
  /** Name of the value, where a frame holds several. */
  part: z.string().max(80).default(''),
  type: z.enum(NUMBER_TYPES),
  order: z.enum(['little', 'big']).default('little'),
  /** value = raw · scale + shift, in `unit`. */
  scale: z.number().default(1),
  shift: z.number().default(0),
  unit: z.enum(UNIT_NAMES).default('C'),
  /** Raw numbers, before the scale, that mean "nothing plugged in". */
  nothing: z.array(z.number()).max(16).default([]),
});
export type Field = z.output<typeof field>;

const hex = z.string().regex(/^([0-9a-fA-F]{2})*$/, 'bytes are written as hexadecimal pairs');

/**
 * How to read a device that speaks no open standard, as its owner found out. A file that can be shared; it says nothing
 * of one device in particular. Where to listen is left to the probe's address when absent.
 */
export const mapping = z.object({
  mapping: z.literal(1),
  name: z.string().min(1).max(80),
  note: z.string().max(2000).optional(),
  listen: z
    .object({
      service: z.string().max(40).optional(),
      characteristic: z.string().max(40).optional(),
      /** `fcd2` service data of that UUID, `m:02e5` manufacturer data of that company. */
      advert: z.string().max(40).optional(),
      /** Bytes to write once after connecting, and where. */
      start: hex.optional(),
      startAt: z.string().max(40).optional(),
      /** Seconds between reads of what does not notify. */
      every: z.number().min(0.2).max(3600).optional(),
    })
    .optional(),
  /** Only frames that begin with these bytes are meant. */
  begins: hex.optional(),
  values: z
    .array(field.extend({ offset: z.number().int().min(0).max(511) }))
    .min(1)
    .max(32),
});
export type Mapping = z.output<typeof mapping>;
