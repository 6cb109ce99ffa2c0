import { z } from 'zod';
import { mapping } from '../../shared/mapping.ts';
import { fromHex } from './bytes.ts';
import type { Decoder, Measurement } from './decoder.ts';
import { lengthOf, measure } from './field.ts';
import { optionsReader } from './options.ts';

const options = z.object({ mapping });
const read = optionsReader(options);

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
  options,
  decode(frame, raw): Measurement[] {
    if (!('bytes' in frame) || frame.bytes === undefined) return [];
    const { mapping: given } = read(raw);
    const bytes = fromHex(frame.bytes);
    if (!frame.bytes.toLowerCase().startsWith((given.begins ?? '').toLowerCase())) return [];
    return given.values.flatMap((value) => {
      const end = value.offset + lengthOf(value.type);
      return end > bytes.length ? [] : [measure(bytes.subarray(value.offset, end), value)];
    });
  },
};
