import { z } from 'zod';
import { MAX_DEPTH, isBounded } from '../../../shared/bounds.ts';
import { UNIT_NAMES, type UnitName } from '../../../shared/mapping.ts';
import { DecodeError, type Decoder, type Measurement } from '../decoder.ts';
import { optionsReader } from '../options.ts';
import { parseBoardJson, tokenOfJson, unitOfJson } from '../serial/text-line.ts';
import { namedValue } from '../serial/named.ts';
import { isAuxiliary, isBattery, readToken } from '../serial/token.ts';

const mqttOptions = z.object({
  /** Unit of numbers that come without one. */
  unit: z.enum(UNIT_NAMES).default('C'),
  /** Numbers that mean "nothing plugged in". */
  nothing: z.array(z.number()).max(16).default([]),
});
const read = optionsReader(mqttOptions);
type Options = z.output<typeof mqttOptions>;

const MAX_VALUES = 256;

/**
 * What was published to a topic (MQTT leaves a payload's form to those who use it):
 *
 *     270.5      270.5 °C      518.9F            a number, with its unit if it likes: part ""
 *     {"stone":{"t":270.5},"dome":[247.5]}       JSON: each value's part is its JSON pointer (RFC 6901),
 *                                                "/stone/t" and "/dome/0", "~" written ~0 and "/" ~1
 *
 * An object may say of its values `unit`, and `quality` with a `reason` as the messages of peelside do (shared/api/publish.ts).
 * An empty payload, by which a retained message is taken back (MQTT 5.0, 3.3.1.3), has no value in it.
 */
export const mqttPayload: Decoder = {
  name: 'mqtt-payload',
  label: 'MQTT topic',
  options: mqttOptions,
  matches: (frame) => frame.source === 'mqtt',
  decode(frame, options): Measurement[] {
    if (frame.source !== 'mqtt') return [];
    const text = frame.payload.trim();
    if (text === '') return [];
    const given = read(options);
    if (/^[{[]/.test(text)) return ofJson(text, given);
    const token = readToken(text);
    const value = token && namedValue({ part: '', name: '', token }, given.unit, given.nothing);
    if (!value) throw new DecodeError(`"${text.slice(0, 60)}" is neither a number nor JSON`);
    return [value];
  },
};

function ofJson(text: string, given: Options): Measurement[] {
  const value = parseBoardJson(text);
  if (!isBounded(value)) throw new DecodeError(`it is nested more than ${MAX_DEPTH} levels deep`);
  const found: Measurement[] = [];
  walk(value, { pointer: '', name: '', unit: given.unit, doubt: null }, given, found);
  return found;
}

/** What an object says of all that is in it. */
type Doubt = { quality: 'uncertain' | 'bad'; reason: string };
type At = { pointer: string; name: string; unit: UnitName; doubt: Doubt | null };

function walk(value: unknown, at: At, given: Options, found: Measurement[]): void {
  if (found.length >= MAX_VALUES) return;
  if (typeof value === 'object' && value !== null) {
    const inner = { unit: unitOfJson(value) ?? at.unit, doubt: doubtOf(value) ?? at.doubt };
    for (const [key, member] of Object.entries(value))
      walk(member, { ...inner, pointer: `${at.pointer}/${escaped(key)}`, name: key }, given, found);
    return;
  }
  const { pointer, name, unit, doubt } = at;
  const token = isAuxiliary(name) && !isBattery(name) ? null : tokenOfJson(value);
  const measurement = token && namedValue({ part: pointer, name, token }, unit, given.nothing);
  if (measurement) found.push(doubt ? doubted(measurement, doubt) : measurement);
}

/** RFC 6901, 3. */
const escaped = (key: string): string => key.replaceAll('~', '~0').replaceAll('/', '~1');

function doubtOf(value: object): Doubt | null {
  const { quality, reason }: { quality?: unknown; reason?: unknown } = value;
  if (quality !== 'uncertain' && quality !== 'bad') return null;
  return { quality, reason: typeof reason === 'string' ? reason.slice(0, 300) : 'its sender doubts it' };
}

const doubted = (measurement: Measurement, { quality, reason }: Doubt): Measurement => ({
  ...measurement,
  ...(quality === 'bad' && { value: null }),
  fault: measurement.fault ?? reason,
});
