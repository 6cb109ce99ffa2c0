import { MAX_SECONDS } from '../../../shared/bounds.ts';
import type { PhotoLine } from '../../../shared/evening/photo.ts';
import { Fault } from '../../../shared/fault.ts';
import { takePhotoLine } from '../history/photos.ts';
import { linesOf } from '../../core/lines.ts';
import { readRecording, type BadLine, type RecordingReader } from '../../core/recording-reader.ts';
import { createBreath, withBreaths } from '../../store/breath.ts';
import type { Store } from '../../store/store.ts';
import { readCsv } from './csv.ts';
import { RECORDING_COLUMN, TIME_COLUMN } from './table.ts';
import { GrillService } from '../live/grill-service.ts';
import { RunningCook } from '../live/running.ts';

/** `skipped` are the first of the `bad` lines; `taught` resolves once the cook taught what it can of the grill. */
export type Imported = { id: number; lines: number; bad: number; skipped: BadLine[]; taught: Promise<void> };
type Pieces = AsyncIterable<Uint8Array | string>;

const MAX_REPORTED = 100;
/** So many bad lines, and more than good ones: that is no damaged recording but something else. */
const BAD_LINES_TO_GIVE_UP = 1000;
/** Lines that are put on disk together. What waits for it stays small, and a full disk ends the import early. */
const BATCH_LINES = 1000;
/** The cooks that are being brought in, so that a start after a crash can remove them. */
const IMPORTING = 'importing';

/**
 * Makes a cook of a recording or an export, going through decoders and engine as a live one does, and teaching of the
 * grill of now as one. Nobody sees the cook
 * until it is whole, and nothing is left of one that does not get so far.
 * @throws Fault `invalid` when it is not one, `unkept` when the disk does not take it; a bad line is skipped and told
 */
export async function importCook(
  store: Store,
  pieces: Pieces,
  {
    grills = new GrillService(store),
    rehearsal = false,
  }: { grills?: GrillService; rehearsal?: boolean } = {},
): Promise<Imported> {
  const recording = await readRecording(textOf(pieces)).catch((error: unknown) => {
    if (!(error instanceof Fault)) throw error;
    throw new Fault(
      error.code,
      `That is no recording or export of peelside (line 1: ${error.message}): choose another file.`,
    );
  });
  const { cook: written, name = '', ...header } = recording.header;
  const startedAt = Date.parse(header.startedAt);
  const id = store.startCook({
    name,
    startedAt,
    rehearsal,
    header,
    notes: written?.notes ?? '',
    deletedAt: startedAt,
  });
  note(store, (ids) => [...ids, id]);
  try {
    const cook = new RunningCook(store, { id, startedAt, rehearsal, header, name });
    const result = await bringIn(store, cook, recording);
    for (const pizza of written?.pizzas ?? []) cook.putPizza(pizza);
    const ended = written?.endedAt ? Date.parse(written.endedAt) : Number.NaN;
    const isOfCook = ended >= startedAt && ended <= startedAt + MAX_SECONDS * 1000;
    const endedAt = isOfCook ? ended : startedAt + Math.round(cook.lastReadingAt * 1000);
    await store.persisted();
    store.patchCook(id, { endedAt, deletedAt: null });
    note(store, (ids) => ids.filter((candidate) => candidate !== id));
    await store.persisted();
    return { id, ...result, taught: rehearsal ? Promise.resolve() : grills.learnFrom(cook) };
  } catch (error) {
    store.removeCook(id);
    note(store, (ids) => ids.filter((candidate) => candidate !== id));
    throw error;
  }
}

async function bringIn(
  store: Store,
  cook: RunningCook,
  recording: RecordingReader,
): Promise<Omit<Imported, 'id' | 'taught'>> {
  const breathe = createBreath();
  const skipped: BadLine[] = [];
  let bad = 0;
  let lines = 0;
  const onBad = (badLine: BadLine): void => {
    bad++;
    if (skipped.length < MAX_REPORTED) skipped.push(badLine);
    if (bad > BAD_LINES_TO_GIVE_UP && bad > lines)
      throw new Fault('invalid', `${bad} of its lines are bad and ${lines} good; ${firstOf(skipped)}`);
  };
  const onPhoto = (photo: PhotoLine): void => takePhotoLine(store, cook.id, photo);
  for await (const line of recording.lines(onBad, breathe, onPhoto)) {
    if ('event' in line && line.event === 'undo') await withBreaths(cook.prepareUndo(line.of));
    cook.apply(line);
    if (++lines % BATCH_LINES === 0) await store.persisted();
  }
  if (lines === 0 && bad > 0)
    throw new Fault('invalid', `None of its lines could be read; ${firstOf(skipped)}`);
  return { lines, bad, skipped };
}

const firstOf = ([first]: readonly BadLine[]): string => `line ${first?.number}: ${first?.why}.`;

/** Cooks that an earlier server was bringing in when it ended. */
export function forgetUnfinished(store: Store): void {
  for (const id of unfinished(store)) store.removeCook(id);
  note(store, () => []);
}

export const unfinished = (store: Store): number[] => {
  const ids = store.setting(IMPORTING);
  return Array.isArray(ids) ? ids.filter((id): id is number => Number.isSafeInteger(id)) : [];
};

function note(store: Store, change: (ids: number[]) => number[]): void {
  const before = unfinished(store);
  const after = change(before);
  if (after.length > 0 || before.length > 0) store.putSetting(IMPORTING, after);
}

/** How the tables begin that hold a recording, and the column that it is in; the second is that of older versions. */
const TABLE_HEADERS = [
  [TIME_COLUMN, RECORDING_COLUMN],
  ['kind,t,at', 'line'],
] as const;

/** The lines of an export of either format. */
async function* textOf(pieces: Pieces): AsyncGenerator<string> {
  const { head, whole } = await beginningOf(
    pieces,
    Math.max(...TABLE_HEADERS.map(([names]) => names.length)),
  );
  const table = TABLE_HEADERS.find(([names]) => head.replace(/^\uFEFF/, '').startsWith(names));
  if (!table) return yield* linesOf(whole);
  for await (const cell of readCsv(whole, table[1])) yield* linesOfCell(cell);
}

/** A cell holds one line, or as a list those of its moment. What is no list is told of as the line that it is. */
function linesOfCell(cell: string): string[] {
  if (!cell.startsWith('[')) return [cell];
  try {
    const lines = JSON.parse(cell) as unknown[]; // it begins as a list does
    return lines.map((line) => JSON.stringify(line));
  } catch {
    return [cell];
  }
}

/** What the first `length` bytes say, and all of it. */
async function beginningOf(pieces: Pieces, length: number): Promise<{ head: string; whole: Pieces }> {
  const source = pieces[Symbol.asyncIterator]();
  const held: Buffer[] = [];
  let size = 0;
  while (size < length + 3) {
    const next = await source.next();
    if (next.done) break;
    held.push(Buffer.from(next.value));
    size += next.value.length;
  }
  async function* whole(): AsyncGenerator<Uint8Array | string> {
    yield* held;
    yield* { [Symbol.asyncIterator]: () => source };
  }
  return { head: Buffer.concat(held).toString('utf8', 0, length + 3), whole: whole() };
}
