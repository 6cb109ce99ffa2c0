import type { Frame, ReadingLine } from '../../../shared/recording.ts';
import { fromFahrenheit } from '../../../shared/units.ts';
import type { Decoder, Measurement } from '../decoder.ts';

function isReadingLine(frame: Frame): frame is ReadingLine {
  return frame.source === undefined || frame.source === 'http' || frame.source === 'replay';
}

/**
 * A reading that needs no decoding (shared/recording.ts):
 *
 *     {"t":12.5,"channel":"stone","celsius":24.3}      or "fahrenheit"
 *     {"t":13.0,"channel":"dome","celsius":null,"fault":"open-circuit"}
 */
export const reading: Decoder = {
  name: 'reading',
  label: 'Reading in degrees',
  matches: isReadingLine,
  decode(frame): Measurement[] {
    if (!isReadingLine(frame)) return [];
    const { celsius, fahrenheit, fault } = frame;
    const value = celsius ?? (typeof fahrenheit === 'number' ? fromFahrenheit(fahrenheit) : null);
    if (value === null || !Number.isFinite(value))
      return [{ part: '', quantity: 'celsius', value: null, fault: fault ?? 'the probe sent no value' }];
    return [{ part: '', quantity: 'celsius', value, ...(fault !== undefined && { fault }) }];
  },
};
