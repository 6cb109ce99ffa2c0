import { z } from 'zod';
import { fromHex } from './bytes.ts';
import type { Decoder, Measurement } from './decoder.ts';
import { field, lengthOf, measure } from './field.ts';
import { optionsReader } from './options.ts';

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

const read = optionsReader(z.object({ mapping: mapping.optional() }));

/**
 * Bytes by the user's own mapping: each value at its offset from the frame's first byte, as `Field` (field.ts) says.
 * A value that lies beyond the end of a frame is not in that frame.
 *
 *     offset…  type, byte order → raw;   raw · scale + shift, in `unit`;   `nothing` = raws that mean "nothing plugged in"
 */
export const mappingDecoder: Decoder = {
  name: 'mapping',
  label: 'Your own mapping',
  // Only a probe that names it is read by it: any device's bytes would fit.
  matches: () => false,
  decode(frame, options): Measurement[] {
    if (!('bytes' in frame) || frame.bytes === undefined) return [];
    const { mapping: given } = read(options);
    if (!given) return [];
    const bytes = fromHex(frame.bytes);
    if (!frame.bytes.toLowerCase().startsWith((given.begins ?? '').toLowerCase())) return [];
    return given.values.flatMap((value) => {
      const end = value.offset + lengthOf(value.type);
      return end > bytes.length ? [] : [measure(bytes.subarray(value.offset, end), value)];
    });
  },
};
