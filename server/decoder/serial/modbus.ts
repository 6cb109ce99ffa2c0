import { z } from 'zod';
import { fromHex, readerOf } from '../bytes.ts';
import { DecodeError, type Decoder, type Measurement } from '../decoder.ts';
import { field, type Field } from '../../../shared/mapping.ts';
import { lengthOf, measure } from '../field.ts';
import { optionsReader } from '../options.ts';

/** A value in registers. `register` is the address on the wire: what a manual calls 1 or 30001 is 0. */
const registerField = field.omit({ order: true }).extend({
  register: z.number().int().min(0).max(65_535),
  type: z.enum(['u16', 's16', 'u32', 's32', 'float32']).default('s16'),
  /** Two registers with the lower one first. */
  swapped: z.boolean().default(false),
});

const modbusOptions = z.object({
  /** What is asked for over and over (server/source/subscription.ts). */
  modbus: z
    .object({
      unit: z.number().int().min(1).max(247),
      registers: z.enum(['input', 'holding']).default('input'),
      first: z.number().int().min(0).max(65_535).default(0),
      count: z.number().int().min(1).max(125).default(8),
    })
    .optional(),
  /** Without them each register is a value of its own: s16, tenths of a °C, which is common practice, no source. */
  values: z.array(registerField).min(1).max(64).optional(),
});
const read = optionsReader(modbusOptions);
type Options = z.output<typeof modbusOptions>;
type RegisterField = z.output<typeof registerField>;

const FUNCTION_CODES = { holding: 0x03, input: 0x04 } as const;
const EXCEPTION_FLAG = 0x80;
const EXCEPTIONS: Record<number, string> = {
  1: 'it does not know the function: try the other kind of register',
  2: 'it has no such register: check the first register and the count',
  3: 'it does not take that count',
  4: 'it has failed',
  6: 'it is busy',
};

/** CRC-16 of MODBUS over Serial Line V1.02: polynomial 0xA001 reflected, start 0xFFFF. Over a frame with its CRC it is 0. */
export function crc16(bytes: Uint8Array): number {
  return bytes.reduce((sum, byte) => {
    let crc = sum ^ byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
    return crc;
  }, 0xffff);
}

/** Request for `count` registers from `first`: unit u8, function u8, first u16 BE, count u16 BE, CRC low byte first. */
export function readRequest(
  unit: number,
  registers: keyof typeof FUNCTION_CODES,
  first: number,
  count: number,
): Uint8Array {
  const body = Uint8Array.of(
    unit,
    FUNCTION_CODES[registers],
    first >> 8,
    first & 0xff,
    count >> 8,
    count & 0xff,
  );
  const crc = crc16(body);
  return Uint8Array.of(...body, crc & 0xff, crc >> 8);
}

/**
 * Answer of a Modbus RTU input module (MODBUS over Serial Line V1.02; Application Protocol V1.1b3, functions 3 and 4):
 *
 *     0      unit      u8                          0      unit
 *     1      function  3 or 4                      1      function | 0x80
 *     2      bytes that follow, two a register     2      exception code
 *     3…     registers u16, big-endian             3…4    CRC
 *     end    CRC-16, low byte first
 */
export const modbus: Decoder = {
  name: 'modbus',
  label: 'Modbus RTU module',
  options: modbusOptions,
  matches: (frame) => frame.source === 'serial' && frame.bytes !== undefined,
  decode(frame, options): Measurement[] {
    if (frame.source !== 'serial' || frame.bytes === undefined) return [];
    const given = read(options);
    const bytes = fromHex(frame.bytes);
    if (bytes.length < 5)
      throw new DecodeError(`a Modbus answer has 5 bytes or more, and this has ${bytes.length}`);
    if (crc16(bytes) !== 0)
      throw new DecodeError('its CRC is wrong: the line is disturbed or the rate is not right');
    const reader = readerOf(bytes.subarray(0, -2));
    const unit = reader.unsigned(1, 'unit');
    const code = reader.unsigned(1, 'function');
    if (!isAsked(given, unit, code & ~EXCEPTION_FLAG)) return [];
    if (code & EXCEPTION_FLAG) return refused(given, reader.unsigned(1, 'exception'));
    const length = reader.unsigned(1, 'byte count');
    if (length !== reader.left || length % 2 === 1)
      throw new DecodeError(`it announces ${length} bytes of registers and brings ${reader.left}`);
    const data = reader.take(length, 'registers');
    return valuesOf(given, data).flatMap((value) => valueOf(value, data, given.modbus?.first ?? 0));
  },
};

/** On a line with several modules each hears the others' answers. */
function isAsked({ modbus: poll }: Options, unit: number, code: number): boolean {
  if (code !== FUNCTION_CODES.holding && code !== FUNCTION_CODES.input) return false;
  return poll === undefined || (poll.unit === unit && FUNCTION_CODES[poll.registers] === code);
}

function refused(given: Options, exception: number): Measurement[] {
  const fault = `the module answered exception ${exception}: ${EXCEPTIONS[exception] ?? 'see its manual'}`;
  const parts = given.values?.map((value) => value.part) ?? [''];
  return parts.map((part) => ({ part, quantity: 'celsius', value: null, fault }));
}

function valuesOf(given: Options, data: Uint8Array): RegisterField[] {
  if (given.values) return given.values;
  const first = given.modbus?.first ?? 0;
  return Array.from({ length: data.length / 2 }, (_, i) => ({
    part: String(first + i),
    register: first + i,
    type: 's16',
    swapped: false,
    scale: 0.1,
    shift: 0,
    unit: 'C',
    nothing: [],
  }));
}

function valueOf(value: RegisterField, data: Uint8Array, first: number): Measurement[] {
  const start = (value.register - first) * 2;
  const end = start + lengthOf(value.type);
  if (start < 0 || end > data.length) return [];
  const bytes = data.subarray(start, end);
  const ordered = value.swapped && bytes.length === 4 ? swap(bytes) : bytes;
  const inOrder: Field = { ...value, order: 'big' };
  return [measure(ordered, inOrder)];
}

const swap = (bytes: Uint8Array): Uint8Array => Uint8Array.of(...bytes.subarray(2), ...bytes.subarray(0, 2));
