import type { Targets } from '../targets.ts';
import type { RecordedEvent } from '../event.ts';
import { stepBakes, type Bake } from './bakes.ts';

/** An event of a cook with its time, s since the start; an undone one stays in the record. */
export type CookEntry = { id: string; t: number; event: RecordedEvent; undone: boolean };

/**
 * What a cook is by its events: who is or was on the stone, what is wanted, which pizzas were taken out of
 * the run. Plain data, never written to.
 */
export type Cook = {
  readonly wanted: Targets;
  readonly entries: readonly CookEntry[];
  readonly bakes: readonly Bake[];
  readonly targets: Targets;
  readonly removed: readonly string[];
};

export const startCook = (targets: Targets): Cook => ({
  wanted: targets,
  entries: [],
  bakes: [],
  targets,
  removed: [],
});

const isLook = ({ event }: Pick<CookEntry, 'event'>): boolean => event.event === 'look';

/** The id of the next event that has none, by its place: "e1", "e2" … */
export const nextEventId = (entries: readonly CookEntry[]): string =>
  `e${entries.filter((entry) => !isLook(entry)).length + 1}`;

/** The same of a look: "look1", "look2" … */
export const nextLookId = (entries: readonly CookEntry[]): string =>
  `look${entries.filter(isLook).length + 1}`;

/**
 * The one fold of a cook's events: live, in a replay, after a restart and of a past cook. An event that is undone leaves
 * no trace but its entry, and an undo that is undone leaves none either; a look that was taken back is typed in again.
 * @param event without an `id` it gets the one of its place
 */
export function reduce(cook: Cook, { t, ...event }: RecordedEvent & { t: number }): Cook {
  const place = event.event === 'look' ? nextLookId : nextEventId;
  const entry: CookEntry = { id: event.id ?? place(cook.entries), t, event, undone: false };
  if (event.event === 'undo') return undo(cook, event.of, entry);
  return step({ ...cook, entries: [...cook.entries, entry] }, entry);
}

/** What makes of a cook more than its entries. */
const SHAPING: ReadonlySet<RecordedEvent['event']> = new Set([
  'launch',
  'turn',
  'off',
  'bake-times',
  'remove-pizza',
  'targets',
  'answer',
]);

/** What was looked at longer ago is not taken back any more, s: all that came of it is long over. */
export const LOOK_UNDO_SECONDS = 6 * 3600;

export const canUndo = (entry: CookEntry, t: number): boolean =>
  !entry.undone && (!isLook(entry) || t - entry.t <= LOOK_UNDO_SECONDS);

/** All is gone through again only where that changes more than an entry: a file may hold thousands of undos. */
function undo(cook: Cook, of: string, entry: CookEntry): Cook {
  const meant = cook.entries.filter((each) => each.id === of && canUndo(each, entry.t));
  const entries = [...cook.entries, entry];
  if (meant.some(({ event }) => event.event === 'undo' || SHAPING.has(event.event)))
    return refold(cook.wanted, entries);
  return {
    ...cook,
    entries: entries.map((each) => (meant.includes(each) ? { ...each, undone: true } : each)),
  };
}

export const foldEvents = (targets: Targets, events: readonly CookEntry[]): Cook => refold(targets, events);

function refold(wanted: Targets, entries: readonly CookEntry[]): Cook {
  const entriesWithUndone = withUndone(entries);
  return entriesWithUndone.reduce((cook, entry) => (entry.undone ? cook : step(cook, entry)), {
    ...startCook(wanted),
    entries: entriesWithUndone,
  });
}

/** From the last to the first: an undo counts unless a later one undid it. Entries that stay as they were are the same. */
function withUndone(entries: readonly CookEntry[]): readonly CookEntry[] {
  const undoneBefore = new Map<string, number>();
  const entriesWithUndone = [...entries];
  for (let i = entries.length - 1; i >= 0; i--) {
    const entry = entries[i];
    if (!entry) continue;
    const undone = isLook(entry) ? entry.undone : (undoneBefore.get(entry.id) ?? -1) > i;
    if (undone !== entry.undone) entriesWithUndone[i] = { ...entry, undone };
    if (undone || entry.event.event !== 'undo') continue;
    const { of } = entry.event;
    undoneBefore.set(of, undoneBefore.get(of) ?? i);
  }
  return entriesWithUndone;
}

function step(cook: Cook, { id, t, event }: CookEntry): Cook {
  if (event.event === 'targets') return { ...cook, targets: targetsAfter(cook.targets, event) };
  if (event.event === 'remove-pizza') return { ...cook, removed: [...cook.removed, event.pizza] };
  const bakes = stepBakes(cook.bakes, id, t, event);
  return bakes === cook.bakes ? cook : { ...cook, bakes };
}

const targetsAfter = (
  before: Targets,
  { stone, dome, domeLimit }: Extract<RecordedEvent, { event: 'targets' }>,
): Targets => ({
  ...before,
  ...(stone && { stone }),
  ...(dome && { dome }),
  ...(domeLimit !== undefined && { domeLimit }),
});
