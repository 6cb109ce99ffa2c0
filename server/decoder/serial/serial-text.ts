import { z } from 'zod';
import { DecodeError, type Decoder, type Measurement, type Session } from '../decoder.ts';
import { UNIT_NAMES } from '../../../shared/mapping.ts';
import { optionsReader } from '../options.ts';
import { fieldsOf, readText, type Line } from './text-line.ts';
import { namedValue } from './named.ts';
import { isAuxiliary, isBattery, readToken } from './token.ts';

export const textOptions = z.object({
  /** Unit of numbers that come without one. */
  unit: z.enum(UNIT_NAMES).default('C'),
  /** Names of the values of a line that has none, in their order. */
  columns: z.array(z.string().max(80)).max(64).optional(),
  /** Numbers that mean "nothing plugged in". */
  nothing: z.array(z.number()).max(16).default([]),
  /** "270,5" is one number. */
  decimalComma: z.boolean().default(false),
});
const read = optionsReader(textOptions);
type Options = z.output<typeof textOptions>;

/**
 * A line of text from a board, one line a reading of one or several values:
 *
 *     stone=270.5 dome=247.5        pairs: name, "=" or ":", number, unit if it likes (°C °F K mV µV V ohm kohm %)
 *     {"stone":270.5,"dome":null}   JSON, names of nested values joined by dots
 *     270.5,247.5                   numbers by ",", ";", tab or spaces; parts "", "2", "3" … or named by a first line
 *
 * "open", "short", "nan", "---" and their like are values that say that there is none. Names of what boards send besides
 * (time, humidity …) are left out. Our own reading of what boards commonly print: there is no standard.
 */
export const serialText: Decoder = {
  name: 'serial-text',
  label: 'Lines of text from a board',
  options: textOptions,
  matches: (frame) => frame.source === 'serial' && frame.line !== undefined,
  decode(frame, options, session): Measurement[] {
    if (frame.source !== 'serial' || frame.line === undefined) return [];
    return readLine(frame.line, read(options), session).measurements;
  },
};

export type ReadLine = { format: Line['format'] | 'header' | 'comment'; measurements: Measurement[] };

/** @throws DecodeError when there is no value in the line */
export function readLine(text: string, options: Options, session: Session): ReadLine {
  if (/^\s*(#|\/\/|$)/.test(text)) return { format: 'comment', measurements: [] };
  const line = readText(text, options.decimalComma);
  if (!line) {
    if (keepHeader(text, options, session)) return { format: 'header', measurements: [] };
    throw new DecodeError(`there is no value in the line "${text.slice(0, 60)}"`);
  }
  if (line.format === 'numbers') session['numbers'] = true;
  const named = line.format === 'numbers' ? { ...line, values: withColumns(line, options, session) } : line;
  return { format: line.format, measurements: measurementsOf(named, options) };
}

/** Names stand above the numbers; later words are talk. */
function keepHeader(text: string, { decimalComma }: Options, session: Session): boolean {
  if (session['numbers'] === true || !/[,;\t|]/.test(text)) return false;
  const names = fieldsOf(text, decimalComma).map((name) => name.trim().slice(0, 80));
  if (!names.every((name) => /^[\p{L}_][^=:]*$/u.test(name) && !readToken(name))) return false;
  session['columns'] = names;
  return true;
}

function withColumns(line: Line, options: Options, session: Session): Line['values'] {
  const given = options.columns ?? session['columns'];
  if (!Array.isArray(given)) return line.values;
  const columns = given.map(String);
  // A time of day is no number and is not among the values, though its column has a name.
  const names =
    columns.length === line.values.length ? columns : columns.filter((name) => !isAuxiliary(name));
  if (names.length !== line.values.length) return line.values;
  return line.values.map(({ token }, i) => ({ name: names[i] ?? '', token }));
}

function measurementsOf(line: Line, options: Options): Measurement[] {
  // "t" is a time beside others, and a temperature alone.
  const isTemperature = (name: string): boolean => line.values.length === 1 || !/^(t|i|n)$/i.test(name);
  return line.values.flatMap(({ name, token }) => {
    if (!isTemperature(name) || (isAuxiliary(name) && !isBattery(name))) return [];
    const measurement = namedValue({ part: name, name, token }, line.unit ?? options.unit, options.nothing);
    return measurement ? [measurement] : [];
  });
}
