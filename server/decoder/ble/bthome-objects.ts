import { DecodeError, type Measurement } from '../decoder.ts';
import { signedOf, unsignedOf, type Reader } from '../bytes.ts';
import { inUnit } from '../field.ts';

/**
 * Objects of BTHome v2 (https://bthome.io/format): an id and a little-endian value, ids ascending. The length belongs to
 * the id, so that an id that is not in this table ends what can be read.
 */
const hexRange = (text: string): number[] =>
  text.split(' ').flatMap((item) => {
    const [first = 0, last = first] = item.split('-').map((digits) => Number.parseInt(digits, 16));
    return Array.from({ length: last - first + 1 }, (_, i) => first + i);
  });

const OBJECT_IDS_BY_LENGTH: readonly (readonly [length: number, ids: string])[] = [
  [1, '00 01 09 0f-11 15-2d 2e 2f 3a 46 57 58 59 60 64 65'],
  [2, '02 03 06 07 08 0c 0d 0e 12 13 14 3c 3d 3f 40 41 43 44 45 47 48 49 4a 51 52 56 5a 5d 5e 5f 61 f0'],
  [3, '04 05 0a 0b 42 4b f2'],
  [4, '3e 4c 4d 4e 4f 50 55 5b 5c 62 63 f1'],
];
const LENGTH_OF = new Map(
  OBJECT_IDS_BY_LENGTH.flatMap(([length, ids]) => hexRange(ids).map((id) => [id, length] as const)),
);

/** Text 0x53, raw 0x54: a length byte first. Command 0x3B: low 5 bits = length of its arguments, then the opcode. */
const TEXT = 0x53;
const RAW = 0x54;
const COMMAND = 0x3b;

/** Divisor of each temperature object: raw / divisor is °C. */
const TEMPERATURES = new Map([
  [0x02, 100],
  [0x45, 10],
  [0x57, 1],
  [0x58, 1 / 0.35],
]);
const PACKET_ID = 0x00;
const BATTERY = 0x01;
const BATTERY_LOW = 0x15;

/** `null` for an id that is not known. @throws DecodeError when the object is cut short */
function valueOf(id: number, reader: Reader): Uint8Array | null {
  const what = `object 0x${id.toString(16).padStart(2, '0')}`;
  if (id === TEXT || id === RAW) return reader.take(reader.unsigned(1, `length of ${what}`), what);
  if (id === COMMAND) return reader.take((reader.unsigned(1, `length of ${what}`) & 0x1f) + 1, what);
  const length = LENGTH_OF.get(id);
  return length === undefined ? null : reader.take(length, what);
}

type Objects = { packet: number | null; measurements: Measurement[] };

/**
 * The objects of an advertisement that are of use here. Of temperatures the first has the part "", the later ones "2",
 * "3" … in their order.
 */
export function readObjects(reader: Reader): Objects {
  const found: Objects = { packet: null, measurements: [] };
  let temperatures = 0;
  while (reader.left > 0) {
    const id = reader.unsigned(1, 'object id');
    const value = valueOf(id, reader);
    if (!value) break;
    const raw = unsignedOf(value, 'little');
    const divisor = TEMPERATURES.get(id);
    if (id === PACKET_ID) found.packet = raw;
    if (id === BATTERY) found.measurements.push(inUnit('battery', raw, 'percent'));
    if (id === BATTERY_LOW && raw === 1)
      found.measurements.push({
        part: 'battery',
        quantity: 'battery',
        value: null,
        fault: 'the device says that its battery is low',
      });
    if (divisor === undefined) continue;
    temperatures += 1;
    const part = temperatures === 1 ? '' : String(temperatures);
    found.measurements.push(temperature(part, value, divisor));
  }
  return found;
}

/** A number at the end of its type can't say more. */
function temperature(part: string, value: Uint8Array, divisor: number): Measurement {
  if (value.length > 2) throw new DecodeError('a temperature is of one or two bytes');
  const raw = signedOf(unsignedOf(value, 'little'), value.length);
  const half = 256 ** value.length / 2;
  const isAtEnd = raw === half - 1 || raw === -half;
  return { ...inUnit(part, raw / divisor, 'C'), ...(isAtEnd && { clipped: true }) };
}
