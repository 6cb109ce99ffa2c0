import { DecodeError, type Measurement } from '../decoder.ts';
import { readLine, textOptions, type ReadLine } from './serial-text.ts';

/** What the first lines of a port seem to be, for a person to confirm. */
export type Proposal = {
  format: 'pairs' | 'json' | 'numbers' | null;
  /** Each value that was seen, as it last came. */
  values: Measurement[];
  /** Share of the lines in which a value was found, 0…1; at a wrong rate it is near 0. */
  readable: number;
  /** At least three lines, nearly all readable, and all with the same values. */
  isSure: boolean;
  /** Names found above the numbers, to be kept as the option `columns`. */
  columns?: string[];
  /** Some lines that could not be read, as they came. */
  unread: string[];
};

const ENOUGH_LINES = 3;
const MATCHING_SHARE = 0.8;

/** @param lines as they came, the first perhaps cut short because the port was opened amid it */
export function propose(lines: readonly string[], options: Record<string, unknown> = {}): Proposal {
  const session: Record<string, unknown> = {};
  const given = textOptions.parse(options);
  const results = lines.map((line) => ({ line, result: attempt(() => readLine(line, given, session)) }));
  const read = results.flatMap(({ result }) => (result && result.measurements.length > 0 ? [result] : []));
  const unread = results.filter(({ result }) => !result).map(({ line }) => line);
  const total = read.length + unread.length;
  const readable = total === 0 ? 0 : read.length / total;
  const format = commonest(read);
  const alike = read.filter((each) => each.format === format);
  const values = lastOfEach(alike);
  const same = alike.every((other) => other.measurements.length === values.length);
  const { columns } = session;
  return {
    format,
    values,
    readable,
    isSure: alike.length >= ENOUGH_LINES && readable >= MATCHING_SHARE && same,
    ...(Array.isArray(columns) && { columns: columns.map(String) }),
    unread: unread.slice(0, 5),
  };
}

function attempt(work: () => ReadLine): ReadLine | null {
  try {
    return work();
  } catch (error) {
    if (error instanceof DecodeError) return null;
    throw error;
  }
}

function commonest(read: readonly ReadLine[]): Proposal['format'] {
  const count = (format: Proposal['format']): number => read.filter((each) => each.format === format).length;
  const formats = ['pairs', 'json', 'numbers'] as const;
  const best = formats.toSorted((a, b) => count(b) - count(a))[0] ?? null;
  return count(best) > 0 ? best : null;
}

function lastOfEach(read: readonly ReadLine[]): Measurement[] {
  const last = new Map<string, Measurement>();
  for (const { measurements } of read)
    for (const measurement of measurements) last.set(measurement.part, measurement);
  return [...last.values()];
}
