import type { Targets } from '../targets.ts';
import type { CookEvent } from '../event.ts';
import { stepBakes, type Bake } from './bakes.ts';

/** An event of a cook with its time, s since the start; an undone one stays in the record. */
export type CookEntry = { id: string; t: number; event: CookEvent; undone: boolean };

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

/**
 * The one fold of a cook's events: live, in a replay, after a restart and of a past cook. An event that is undone leaves
 * no trace but its entry, and an undo that is undone leaves none either.
 * @param event without an `id` it gets the one of its place: `e1`, `e2` …
 */
export function reduce(cook: Cook, { t, ...event }: CookEvent & { t: number }): Cook {
  const entry: CookEntry = { id: event.id ?? `e${cook.entries.length + 1}`, t, event, undone: false };
  if (event.event === 'undo') return undo(cook, event.of, entry);
  return step({ ...cook, entries: [...cook.entries, entry] }, entry);
}

/** What makes of a cook more than its entries. */
const SHAPING: ReadonlySet<CookEvent['event']> = new Set([
  'launch',
  'turn',
  'off',
  'bake-times',
  'remove-pizza',
  'targets',
  'answer',
]);

/** All is gone through again only where that changes more than an entry: a file may hold thousands of undos. */
function undo(cook: Cook, of: string, entry: CookEntry): Cook {
  const meant = cook.entries.filter(({ id, undone }) => id === of && !undone);
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
    const undone = (undoneBefore.get(entry.id) ?? -1) > i;
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
  { stone, dome, domeLimit }: Extract<CookEvent, { event: 'targets' }>,
): Targets => ({
  ...before,
  ...(stone && { stone }),
  ...(dome && { dome }),
  ...(domeLimit !== undefined && { domeLimit }),
});
