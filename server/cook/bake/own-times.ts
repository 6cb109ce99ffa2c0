import type { BakeTimes } from '../../../shared/cook/run.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { RunningCook } from '../live/running.ts';

/** A pizza's times as the person wants them: guidance moves the pizza's, and keeps with its first move what they were. */
export function ownTimes(cook: RunningCook, pizza: Pizza): BakeTimes {
  const events = cook.events.filter(({ event }) => 'pizza' in event && event.pizza === pizza.id);
  const launch = events.findLast(({ event, undone }) => !undone && event.event === 'launch')?.event;
  const moves = events.filter(({ event }) => event.event === 'bake-times');
  const last = moves.at(-1)?.event;
  // Edited by the person since guidance last moved it: theirs.
  const isMoved =
    last?.event === 'bake-times' && last.ownOffAfter !== undefined && last.offAfter === pizza.offAfter;
  const own: BakeTimes = isMoved
    ? { turnAfter: last.ownTurnAfter ?? null, offAfter: last.ownOffAfter ?? pizza.offAfter }
    : { turnAfter: pizza.turnAfter, offAfter: pizza.offAfter };
  if (launch?.event !== 'launch') return own;
  return {
    turnAfter: launch.turnAfter === undefined ? own.turnAfter : launch.turnAfter,
    offAfter: launch.offAfter ?? own.offAfter,
  };
}
