import type { Decoder, Measurement } from '../decoder.ts';

/**
 * A reading typed in from an infrared thermometer, as the instrument showed it (shared/recording.ts):
 *
 *     {"t":1500,"source":"spot","channel":"stone","celsius":258,"surface":"cordierite","emissivitySet":0.95,"reflected":20}
 *
 * The correction for the surface is a conversion, `emissivity`, whose settings come with each reading.
 */
export const spot: Decoder = {
  name: 'spot',
  label: 'Infrared reading typed in',
  matches: (frame) => frame.source === 'spot',
  decode(frame): Measurement[] {
    if (frame.source !== 'spot' || !Number.isFinite(frame.celsius)) return [];
    const { surface, emissivitySet, emissivity, reflected } = frame;
    return [
      {
        part: '',
        quantity: 'infrared',
        value: frame.celsius,
        settings: { surface, emissivitySet, emissivity, reflected },
      },
    ];
  },
};
