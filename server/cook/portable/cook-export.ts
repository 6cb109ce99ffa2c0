import type { PhotoLine } from '../../../shared/evening/photo.ts';
import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';
import type { Store } from '../../store/store.ts';
import { headerWithoutKeys, lineWithoutKeys } from './secrets.ts';
import { photoLines } from '../history/photos.ts';
import { findCook } from '../history/cook-history.ts';
import { storedPizzas } from '../history/stored-pizzas.ts';
import { tableOf, type StruckLook } from './table.ts';

type Format = 'csv' | 'jsonl';

function headerOf(store: Store, id: number): RecordingHeader {
  const cook = findCook(store, id);
  const pizzas = storedPizzas(store, cook);
  const endedAt = cook.endedAt === null ? null : new Date(cook.endedAt).toISOString();
  return {
    ...cook.header,
    startedAt: new Date(cook.startedAt).toISOString(),
    name: cook.name,
    cook: { notes: cook.notes, endedAt, pizzas },
  };
}

type Options = {
  /** Whether the keys of encrypting devices go along, without which their frames can't be read again. */
  withKeys?: boolean;
  /** Whether a table holds the recording too, without which it can't be brought in again. */
  withRecording?: boolean;
};

/**
 * A cook as text, piece by piece; whole, so that `importCook` makes the same cook of it.
 * @throws Fault `not-found`
 */
export function* exportCook(
  store: Store,
  id: number,
  format: Format,
  { withKeys = false, withRecording = true }: Options = {},
): Generator<string> {
  const whole = headerOf(store, id);
  const header = withKeys ? whole : headerWithoutKeys(whole);
  const lines = linesOf(store, id, withKeys);
  if (format === 'csv') {
    const things = { lines, readings: store.eachReading(id, {}), struck: struckLooks(store, id) };
    return yield* tableOf(header, things, withRecording);
  }
  yield JSON.stringify(header) + '\n';
  for (const line of lines) yield JSON.stringify(line) + '\n';
}

/** The looks that were taken back. */
const struckLooks = (store: Store, id: number): StruckLook[] =>
  store
    .events(id)
    .flatMap(({ t, event, undone }) =>
      event.event === 'look' && undone ? [{ t, channel: event.channel, celsius: event.celsius }] : [],
    );

/** The recording, and after it the photos. */
function* linesOf(store: Store, id: number, withKeys: boolean): Generator<RecordingLine | PhotoLine> {
  let t = 0;
  for (const line of store.lines(id)) {
    t = line.t;
    yield withKeys ? line : lineWithoutKeys(line);
  }
  yield* photoLines(store, id, t);
}
