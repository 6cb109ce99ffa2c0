import { Fault } from '../../shared/fault.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { readRecording, type BadLine } from '../course/recording.ts';
import type { Store } from '../store/store.ts';
import { csvRow, readCsv } from './csv.ts';
import { findCook } from './history.ts';
import { withTimes } from './pizzas.ts';
import { RunningCook } from './running.ts';

export type Format = 'csv' | 'jsonl';
export type Imported = { id: number; lines: number; skipped: BadLine[] };

/** One row holds one line of the recording, for programs in `line` and for people in the columns before it. */
const CSV_COLUMNS = ['kind', 't', 'at', 'channel', 'celsius', 'quality', 'event', 'note', 'line'] as const;
/** Lines between two breaths of the event loop, so that a long import does not stop the live screen. */
const BREATH = 500;

function headerOf(store: Store, id: number): RecordingHeader {
  const cook = findCook(store, id);
  const pizzas = withTimes(store.pizzas(id), store.events(id));
  const endedAt = cook.endedAt === null ? null : new Date(cook.endedAt).toISOString();
  return {
    ...cook.header,
    startedAt: new Date(cook.startedAt).toISOString(),
    name: cook.name,
    cook: { notes: cook.notes, endedAt, pizzas },
  };
}

/** A cook as text, piece by piece; whole, so that `importCook` makes the same cook of it. @throws Fault `not-found` */
export function* exportCook(store: Store, id: number, format: Format): Generator<string> {
  const header = headerOf(store, id);
  if (format === 'jsonl') {
    yield JSON.stringify(header) + '\n';
    for (const line of store.lines(id)) yield JSON.stringify(line) + '\n';
    return;
  }
  const startedAt = Date.parse(header.startedAt);
  yield csvRow(CSV_COLUMNS);
  yield csvRow(['header', '', header.startedAt, '', '', '', '', header.name ?? '', JSON.stringify(header)]);
  for (const line of store.lines(id)) yield csvLine(line, startedAt);
  for (const r of store.readings(id, {}))
    yield csvRow([
      'reading',
      r.t,
      new Date(r.at).toISOString(),
      r.channel,
      r.celsius ?? '',
      r.quality,
      '',
      r.reason ?? '',
      '',
    ]);
}

function csvLine(line: RecordingLine, startedAt: number): string {
  const at = new Date(startedAt + line.t * 1000).toISOString();
  const event = 'event' in line ? line.event : '';
  const note = 'event' in line ? (line.note ?? '') : '';
  const kind = 'event' in line ? 'event' : 'frame';
  const channel = 'channel' in line ? line.channel : '';
  return csvRow([kind, line.t, at, channel, '', '', event, note, JSON.stringify(line)]);
}

/** The lines of an export of either format. */
async function* linesOf(text: AsyncIterable<string>): AsyncGenerator<string> {
  const lines = text[Symbol.asyncIterator]();
  const first = await lines.next();
  if (first.done) return;
  const rest = { [Symbol.asyncIterator]: () => lines };
  if (first.value.startsWith(CSV_COLUMNS.slice(0, 3).join(','))) yield* readCsv(rest, 'line');
  else {
    yield first.value;
    yield* rest;
  }
}

/**
 * Makes a cook of a recording or an export, going through decoders and engine as a live one does.
 * @param text its lines
 * @throws Fault `invalid` when it is not one; a bad line is skipped and told with its number
 */
export async function importCook(store: Store, text: AsyncIterable<string>): Promise<Imported> {
  const recording = await readRecording(linesOf(text)).catch((error: unknown) => {
    if (!(error instanceof Fault)) throw error;
    throw new Fault(
      error.code,
      `That is no recording or export of peelside (line 1: ${error.message}): choose another file.`,
    );
  });
  const { cook: written, name = '', ...header } = recording.header;
  const startedAt = Date.parse(header.startedAt);
  const id = store.startCook({ name, startedAt, rehearsal: false, header, notes: written?.notes ?? '' });
  store.patchCook(id, { endedAt: written?.endedAt ? Date.parse(written.endedAt) : startedAt });
  const cook = new RunningCook(store, { id, startedAt, rehearsal: false, header, name });
  const skipped: BadLine[] = [];
  let lines = 0;
  for await (const line of recording.lines((bad) => skipped.push(bad))) {
    cook.apply(line);
    if (++lines % BREATH === 0) await new Promise(setImmediate);
  }
  for (const pizza of written?.pizzas ?? []) cook.putPizza(pizza);
  if (!written?.endedAt) store.patchCook(id, { endedAt: startedAt + Math.round(cook.lastHeard * 1000) });
  await store.kept();
  if (lines === 0 && skipped.length > 0) {
    store.removeCook(id);
    throw new Fault(
      'invalid',
      `None of its lines could be read; line ${skipped[0]?.number}: ${skipped[0]?.why}.`,
    );
  }
  return { id, lines, skipped };
}
