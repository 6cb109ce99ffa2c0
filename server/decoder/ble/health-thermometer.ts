import { fromHex, readerOf, type Reader } from '../bytes.ts';
import { DecodeError, type Decoder, type Measurement } from '../decoder.ts';
import { inUnit } from '../field.ts';
import { float } from '../ieee11073.ts';
import { isOfCharacteristic } from './uuid.ts';

const FAHRENHEIT_FLAG = 1;
const TIME_STAMP_FLAG = 2;
const TYPE_FLAG = 4;

/**
 * Temperature Measurement 0x2A1C (indicated) and Intermediate Temperature 0x2A1E (notified) of the Health Thermometer
 * Service 0x1809, Bluetooth GATT Specification Supplement:
 *
 *     0      flags   bit 0: °F (else °C)  bit 1: time stamp follows  bit 2: type follows  3–7 reserved, ignored
 *     1…4    FLOAT   IEEE 11073-20601, °C or °F
 *     +0…6   time    year u16, month, day, hours, minutes, seconds u8; 0 = not known; no time zone   if bit 1
 *     +0     type    u8, a site of the body: of no use here                                          if bit 2
 */
export const healthThermometer: Decoder = {
  name: 'health-thermometer',
  label: 'Bluetooth Health Thermometer',
  matches: (frame) => isOfCharacteristic(frame, '2a1c', '2a1e'),
  decode(frame): Measurement[] {
    if (frame.source !== 'ble') return [];
    const reader = readerOf(fromHex(frame.bytes));
    const flags = reader.unsigned(1, 'flags');
    const { value, fault } = float(reader.unsigned(4, 'temperature'));
    const stamp = flags & TIME_STAMP_FLAG ? stampOf(reader) : undefined;
    if (flags & TYPE_FLAG) reader.unsigned(1, 'temperature type');
    const measured: Measurement =
      value === null
        ? { part: '', quantity: 'celsius', value }
        : inUnit('', value, flags & FAHRENHEIT_FLAG ? 'F' : 'C');
    return [{ ...measured, ...(fault !== undefined && { fault }), ...(stamp !== undefined && { stamp }) }];
  },
};

const two = (n: number): string => String(n).padStart(2, '0');

/** @returns undefined where the device does not know its date */
function stampOf(reader: Reader): string | undefined {
  const year = reader.unsigned(2, 'year');
  const [month = 0, day = 0, hours = 0, minutes = 0, seconds = 0] = reader.take(5, 'date and time');
  if (month > 12 || day > 31 || hours > 23 || minutes > 59 || seconds > 59)
    throw new DecodeError(`its time stamp ${year}-${month}-${day} ${hours}:${minutes}:${seconds} is no time`);
  if (year === 0 || month === 0 || day === 0) return undefined;
  return `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}T${two(hours)}:${two(minutes)}:${two(seconds)}`;
}
