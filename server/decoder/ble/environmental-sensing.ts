import { LOWEST_CELSIUS } from '../../../shared/units.ts';
import { fromHex, readerOf } from '../bytes.ts';
import { DecodeError, type Decoder, type Measurement } from '../decoder.ts';
import { isOfCharacteristic } from './uuid.ts';

const VALUE_NOT_KNOWN = -0x8000;
const INT16_MAX = 0x7fff;

/**
 * Temperature 0x2A6E of the Environmental Sensing Service 0x181A, Bluetooth GATT Specification Supplement:
 *
 *     0…1    s16 · 0.01 °C, −273.15…327.67    0x8000 = not known, below −273.15 prohibited
 *
 * 327.67 °C is the most that it can say and a stone may be hotter. A device may have several: the frame's `instance`
 * tells them apart, descriptor 0x2901 names them.
 */
export const environmentalSensing: Decoder = {
  name: 'environmental-sensing',
  label: 'Bluetooth Environmental Sensing',
  matches: (frame) => isOfCharacteristic(frame, '2a6e'),
  decode(frame): Measurement[] {
    if (frame.source !== 'ble') return [];
    const raw = readerOf(fromHex(frame.bytes)).signed(2, 'temperature');
    if (raw === VALUE_NOT_KNOWN)
      return [{ part: '', quantity: 'celsius', value: null, fault: 'the device says that it has no value' }];
    const value = raw / 100;
    if (value < LOWEST_CELSIUS)
      throw new DecodeError(`${value} °C is below absolute zero, which is prohibited`);
    return [{ part: '', quantity: 'celsius', value, ...(raw === INT16_MAX && { clipped: true }) }];
  },
};
