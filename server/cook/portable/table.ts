import type { PhotoLine } from '../../../shared/evening/photo.ts';
import type { CookEvent } from '../../../shared/event.ts';
import type { RecordingHeader, RecordingLine, SpotLine } from '../../../shared/recording.ts';
import { channelName } from '../live/live-document.ts';
import type { StoredReading } from '../../store/store.ts';
import { csvRow } from './csv.ts';

/**
 * A cook as a table for people: a row a moment, a column a channel, units in the head, what happened beside it. The last
 * column holds the lines of the recording, of which alone the table is brought in again; it may be left out.
 */

export const TIME_COLUMN = 'time (UTC)';
export const RECORDING_COLUMN = 'recording';
/** Readings within it stand in one row, s: probes do not speak at the same instant. */
const ROW_SECONDS = 1;
/** Characters of lines that wait for a row before one is made for them. */
const MAX_WAITING = 100_000;

type Cells = { values: Map<string, number>; doubts: string[]; event: CookEvent | null };
type Row = Cells & { t: number };
type Thing =
  { t: number; reading: StoredReading } | { t: number; line: RecordingLine | PhotoLine; struck?: StruckLook };

/** A look that was taken back: it stands beside the moment, not in its column. °C. */
export type StruckLook = { t: number; channel: string; celsius: number };
type Things = {
  lines: Iterator<RecordingLine | PhotoLine>;
  readings: Iterator<StoredReading>;
  struck: readonly StruckLook[];
};

export function* tableOf(header: RecordingHeader, things: Things, withRecording: boolean): Generator<string> {
  const start = Date.parse(header.startedAt);
  const channels = header.channels.map(({ id }) => id);
  const names = new Map((header.cook?.pizzas ?? []).map(({ id, name }) => [id, name]));
  let waiting: string[] = [];
  const rowOf = ({ t, values, doubts, event }: Row, recording: string): string =>
    csvRow([
      new Date(start + t * 1000).toISOString(),
      t,
      ...channels.map((id) => values.get(id) ?? ''),
      event?.event ?? '',
      event && 'pizza' in event && event.pizza ? (names.get(event.pizza) ?? event.pizza) : '',
      event?.note ?? '',
      doubts.join('; '),
      ...(withRecording ? [recording] : []),
    ]);
  const held = (): string => {
    const text = waiting.length > 0 ? `[${waiting.join(',')}]` : '';
    waiting = [];
    return text;
  };

  yield csvRow(headOf(header, withRecording));
  if (withRecording) yield rowOf(emptyRow(0), JSON.stringify(header));
  let row: Row | null = null;
  for (const thing of inOrder(things)) {
    if (row && !hasRoom(row, thing)) {
      yield rowOf(row, held());
      row = null;
    }
    if ('line' in thing && withRecording) waiting.push(JSON.stringify(thing.line));
    if ('reading' in thing || 'event' in thing.line || thing.struck) put((row ??= emptyRow(thing.t)), thing);
    // Frames that say nothing readable wait for the next row, but not for ever.
    if (!row && waiting.reduce((sum, { length }) => sum + length, 0) > MAX_WAITING) row = emptyRow(thing.t);
  }
  if (row || waiting.length > 0) yield rowOf(row ?? emptyRow(0), held());
}

function headOf({ channels }: RecordingHeader, withRecording: boolean): string[] {
  const names = channels.map(channelName);
  const columns = channels.map(({ id }, i) => {
    const name = names[i] ?? id;
    return `${names.indexOf(name) === names.lastIndexOf(name) ? name : `${name} ${id}`} (°C)`;
  });
  const last = withRecording ? [RECORDING_COLUMN] : [];
  return [TIME_COLUMN, 'since the start (s)', ...columns, 'event', 'pizza', 'note', 'doubt', ...last];
}

const emptyRow = (t: number): Row => ({ t, values: new Map(), doubts: [], event: null });

/** Whether it belongs to the row's moment and its place there is free. */
function hasRoom(row: Row, thing: Thing): boolean {
  if (thing.t - row.t >= ROW_SECONDS) return false;
  if ('reading' in thing) return !row.values.has(thing.reading.channel);
  return !('event' in thing.line) || row.event === null;
}

function put(row: Row, thing: Thing): void {
  if ('line' in thing) {
    if ('event' in thing.line) row.event = thing.line;
    if (thing.struck)
      row.doubts.push(`${thing.struck.channel} taken back: ${Math.round(thing.struck.celsius)} °C`);
    return;
  }
  const { channel, celsius, quality, reason } = thing.reading;
  if (celsius !== null) row.values.set(channel, celsius);
  if (quality !== 'good') row.doubts.push([channel, quality, reason].filter(Boolean).join(' '));
}

const isSpot = (line: RecordingLine | PhotoLine): line is SpotLine =>
  'source' in line && line.source === 'spot';

/** Lines and readings as one, by their time; a reading comes after the line that it was read from. */
function* inOrder({ lines, readings, struck }: Things): Generator<Thing> {
  let line = lines.next();
  let reading = readings.next();
  while (!line.done || !reading.done)
    if (!line.done && (reading.done || line.value.t <= reading.value.t)) {
      const { value } = line;
      const taken = isSpot(value)
        ? struck.find(({ t, channel }) => t === value.t && channel === value.channel)
        : undefined;
      yield taken ? { t: value.t, line: value, struck: taken } : { t: value.t, line: value };
      line = lines.next();
    } else if (!reading.done) {
      yield { t: reading.value.t, reading: reading.value };
      reading = readings.next();
    }
}
