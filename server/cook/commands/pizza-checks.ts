import { happenedAt } from '../../../shared/cook/happened-at.ts';
import { canUndo, type CookEntry } from '../../../shared/cook/reduce.ts';
import { MAX_AGO_SECONDS, type CookEvent } from '../../../shared/event.ts';
import { Fault } from '../../../shared/fault.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { isOnStone } from '../../../shared/cook/run.ts';
import type { RunningCook } from '../live/running.ts';

/** What must hold of a pizza for a command; what no longer holds is refused by its name. */

export const notThere = (id: string): Fault =>
  new Fault('not-found', `There is no pizza "${id}" in this cook.`);
export const nameOf = ({ name }: Pizza): string => name || 'That pizza';

/** @throws Fault `not-found` where nobody knows the event, `conflict` where it can't be taken back */
export function checkUndo({ events }: RunningCook, id: string, t: number): void {
  const entry = events.find((e) => e.id === id);
  if (!entry) throw new Fault('not-found', `There is no event "${id}" in this cook.`);
  if (entry.undone) throw new Fault('conflict', 'That was undone already.');
  if (!canUndo(entry, t))
    throw new Fault('conflict', 'A look is not taken back after so many hours: what came of it is over.');
  const { event } = entry;
  if (event.event === 'undo' && events.some((e) => e.id === event.of && e.event.event === 'look'))
    throw new Fault('conflict', 'A look that was taken back is typed in again.');
}

/** @throws Fault `conflict` where others lie on the stone than were seen there */
export function checkStone(cook: RunningCook, seen: readonly string[] | undefined): void {
  const lying = cook.pizzas.filter(isOnStone);
  const isAsSeen = seen?.length === lying.length && lying.every(({ id }) => seen.includes(id));
  if (seen === undefined || isAsSeen) return;
  const names = lying.map(nameOf).join(', ');
  throw new Fault(
    'conflict',
    names
      ? `${names} is on the stone by now: look, and tap again.`
      : 'The stone is empty by now: look, and tap again.',
  );
}

/** @throws Fault `not-found` where a pizza is named that nobody knows */
export function checkKnown(cook: RunningCook, id: string | undefined): void {
  if (id !== undefined && !cook.pizzas.some((p) => p.id === id)) throw notThere(id);
}

/** @throws Fault `not-found` where nobody knows the pizza that is named, `conflict` where it does not lie on the stone */
export function checkOnStone(
  cook: RunningCook,
  id: string | undefined,
  does: 'turn' | 'off' | 'bake-times',
): void {
  checkKnown(cook, id);
  const pizza = cook.pizzas.find((p) => p.id === id) ?? null;
  if (does === 'turn' && pizza?.turnedAt != null) throw turnedBefore(pizza);
  if (!pizza || isOnStone(pizza)) return;
  const isOff = pizza.offAt !== null && does === 'off';
  throw new Fault('conflict', `${nameOf(pizza)} is ${isOff ? 'off the stone already' : 'not on the stone'}.`);
}

const turnedBefore = (pizza: Pizza): Fault =>
  new Fault('conflict', `${nameOf(pizza)} was turned already: undo that to turn it at another time.`);

/** The pizza that a turn means which names none; null where nothing lies on the stone. @throws Fault `conflict` where all were turned */
export function nextTurn(cook: RunningCook): Pizza | null {
  const lying = cook.pizzas.filter(isOnStone);
  const next = lying.find(({ turnedAt }) => turnedAt === null);
  if (!next && lying[0]) throw turnedBefore(lying[0]);
  return next ?? null;
}

/** @throws Fault `conflict` where a pizza is turned or taken off before it was launched */
export function checkAfterLaunch(cook: RunningCook, event: CookEvent, t: number): void {
  if (event.event !== 'turn' && event.event !== 'off') return;
  const pizza = cook.pizzas.find((p) => (event.pizza === undefined ? isOnStone(p) : p.id === event.pizza));
  // Times of taps are sent in whole seconds.
  if (pizza?.launchedAt == null || happenedAt(t, event) >= pizza.launchedAt - 1) return;
  throw new Fault('conflict', `${nameOf(pizza)} was not launched yet ${event.ago} s ago.`);
}

type PizzaTap = Extract<CookEvent, { event: 'launch' | 'turn' | 'off' }>;

/**
 * The last tap of a pizza, and when it was if it happened `seconds` before the time that it has.
 * @throws Fault `not-found` where nobody knows the pizza, `conflict` where nothing was tapped of it, or something between
 */
export function earlierTap(
  cook: RunningCook,
  id: string,
  seconds: number,
): { entry: CookEntry & { event: PizzaTap }; at: number } {
  const pizza = cook.pizzas.find((p) => p.id === id);
  if (!pizza) throw notThere(id);
  const entry = cook.events.findLast(
    (each): each is CookEntry & { event: PizzaTap } =>
      !each.undone && isPizzaTap(each.event) && each.event.pizza === id,
  );
  if (!entry) throw new Fault('conflict', `Nothing was tapped of ${nameOf(pizza)} yet.`);
  const at = happenedAt(entry.t, entry.event) - seconds;
  const { launchedAt, turnedAt } = pizza;
  const before = { launch: null, turn: launchedAt, off: turnedAt ?? launchedAt }[entry.event.event];
  if (at < (before ?? -Infinity) || entry.t - at > MAX_AGO_SECONDS)
    throw new Fault('conflict', `${nameOf(pizza)}: that is before what was tapped before it.`);
  return { entry, at };
}

const isPizzaTap = (event: CookEntry['event']): event is PizzaTap =>
  event.event === 'launch' || event.event === 'turn' || event.event === 'off';
