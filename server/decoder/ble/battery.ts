import { fromHex, readerOf } from '../bytes.ts';
import type { Decoder, Measurement } from '../decoder.ts';
import { inUnit } from '../field.ts';
import { isOfCharacteristic } from './uuid.ts';

/**
 * Battery Level 0x2A19 of the Battery Service 0x180F, Bluetooth GATT Specification Supplement:
 *
 *     0      u8 percent, 0…100; 101…255 reserved
 */
export const battery: Decoder = {
  name: 'battery',
  label: 'Bluetooth battery level',
  matches: (frame) => isOfCharacteristic(frame, '2a19'),
  decode(frame): Measurement[] {
    if (frame.source !== 'ble') return [];
    return [inUnit('', readerOf(fromHex(frame.bytes)).unsigned(1, 'battery level'), 'percent')];
  },
};
