import { z } from 'zod';
import { mapping, type Mapping } from '../../shared/mapping.ts';
import type { Frame } from '../../shared/recording.ts';
import { plainUuid } from './ble/uuid.ts';
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
    if (!isListenedTo(given, frame)) return [];
    const bytes = fromHex(frame.bytes);
    if (!frame.bytes.toLowerCase().startsWith((given.begins ?? '').toLowerCase())) return [];
    return given.values.flatMap((value) => {
      const end = value.offset + lengthOf(value.type);
      return end > bytes.length ? [] : [measure(bytes.subarray(value.offset, end), value)];
    });
  },
};

/** A UUID has several spellings; what the mapping does not name is left to the probe's address. */
function isListenedTo({ listen }: Mapping, frame: Frame): boolean {
  if (frame.source !== 'ble') return true;
  const fits = (wanted: string | undefined, got: string | undefined): boolean =>
    wanted === undefined || (got !== undefined && plainUuid(wanted) === plainUuid(got));
  return (
    fits(listen?.service, frame.service) &&
    fits(listen?.characteristic, frame.characteristic) &&
    fits(listen?.advert, frame.advert)
  );
}
