import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';
import type { Store } from '../../store/store.ts';
import { importCook } from './cook-import.ts';

/**
 * Three synthetic cooks to be looked at before there is a real one. They count as rehearsals, so that they teach nothing
 * and are in no trend, and they are removed all at once.
 */

/** Bundled recordings by our own simulator: a good evening, a fire that ran away, a steel for two. */
const EXAMPLE_RECORDINGS = ['good-evening', 'runaway', 'steel-for-two'] as const;
const KEY = 'examples';
type Examples = { ids: number[]; removed: boolean };

const stored = (store: Store): Examples => {
  const found = store.setting(KEY) as Examples | undefined; // written here alone
  return found ?? { ids: [], removed: false };
};

export const isExample = (store: Store, id: number): boolean => stored(store).ids.includes(id);

/** Whether a person who has no cook yet is to be shown them. */
export const areExamplesDue = (store: Store): boolean => {
  const { ids, removed } = stored(store);
  return ids.length === 0 && !removed && store.cooks().every(({ rehearsal }) => rehearsal);
};

type Recording = { name: string; header: RecordingHeader; lines: readonly RecordingLine[] };
let arriving: Promise<void> | null = null;

/** Makes them, where they are due; who asks twice waits for the same ones. */
export function addExamples(store: Store, read: (name: string) => Promise<Recording>): Promise<void> {
  arriving ??= add(store, read).finally(() => {
    arriving = null;
  });
  return arriving;
}

async function add(store: Store, read: (name: string) => Promise<Recording>): Promise<void> {
  if (!areExamplesDue(store)) return;
  const ids: number[] = [];
  for (const name of EXAMPLE_RECORDINGS) {
    const { header, lines, name: title } = await read(name);
    const text = linesOf({ ...header, name: `Example: ${title}` }, lines);
    const { id } = await importCook(store, text, { rehearsal: true });
    ids.push(id);
    store.putSetting(KEY, { ids, removed: false });
  }
  await store.persisted();
}

async function* linesOf(header: RecordingHeader, lines: readonly RecordingLine[]): AsyncGenerator<string> {
  yield `${JSON.stringify(header)}\n`;
  for (const line of lines) yield `${JSON.stringify(line)}\n`;
}

/** Takes them away for good. */
export async function removeExamples(store: Store): Promise<void> {
  for (const id of stored(store).ids) {
    while (store.cook(id) && store.thinOutCook(id)) await new Promise((resolve) => setImmediate(resolve));
    store.removeCook(id);
  }
  store.putSetting(KEY, { ids: [], removed: true });
  await store.persisted();
}
