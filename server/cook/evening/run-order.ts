import { DEFAULT_BAKE, DEFAULT_TARGETS, type Band } from '../../../shared/engine.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { Unit } from '../../../shared/units.ts';
import {
  proposeOrder,
  reason,
  stonesAhead,
  type Rhythm,
  type Wish,
} from '../../evening/run/proposed-order.ts';
import { pace } from '../../evening/run/hands-pace.ts';
import { isOnStone, isWaiting, USUAL_RECOVERY_SECONDS } from '../../../shared/cook/run.ts';
import { nextLaunch } from './next-launch.ts';
import type { RunningCook } from '../live/running.ts';

const NEUTRAL_TASTE = { base: 0, crust: 0, wetness: 0 };

export type Proposal = { id: string; reason: string };

/** The order proposed for these pizzas, with the reason for each place; `rhythm.readyAt` is when the first goes on. */
export function proposed(
  pizzas: readonly { id: string; eater: string; taste?: Wish['taste'] | undefined }[],
  rhythm: Rhythm,
  curve: readonly { t: number; celsius: number }[],
  band: readonly [number, number],
  unit: Unit,
): Proposal[] {
  const wishes = pizzas.map(({ id, eater, taste }) => ({ id, eater, taste: taste ?? NEUTRAL_TASTE }));
  const stones = stonesAhead(wishes.length, rhythm, curve, band);
  return proposeOrder(wishes, stones).map((wish, i) => ({
    id: wish.id,
    reason: reason(wish, stones[i] ?? band[0], band, unit),
  }));
}

/** The stone's band of this cook, °C. */
const bandOf = ({ targets }: RunningCook): Band => targets.stone ?? DEFAULT_TARGETS.stone;

/** When the next pizza of this cook can go on, s; null where nothing can be said. */
export const nextLaunchOf = (cook: RunningCook, t: number): number | null =>
  nextLaunch(cook.view(), t, bandOf(cook));

/** The waiting pizzas of the running cook in a better order. */
export function proposedRun(cook: RunningCook, t: number, unit: Unit): Proposal[] {
  const view = cook.view();
  const waiting = cook.pizzas.filter(isWaiting);
  const launchAt = Math.max(t, nextLaunchOf(cook, t) ?? t);
  const bakeSeconds = waiting[0]?.offAfter ?? DEFAULT_BAKE.offAfter;
  return proposed(
    waiting,
    { readyAt: launchAt, bakeSeconds, recoverySeconds: USUAL_RECOVERY_SECONDS },
    view.forecast?.curves.stone ?? [],
    bandOf(cook),
    unit,
  );
}

/** Gives these waiting pizzas the places that they have among them, in this order. */
export function inOrder(cook: RunningCook, ids: readonly string[]): void {
  const waiting = cook.pizzas.filter(isWaiting);
  const order = [...ids.flatMap((id) => waiting.find((p) => p.id === id) ?? []), ...waiting];
  const places = waiting.map((p) => p.place);
  [...new Set(order)].forEach((pizza, i) => cook.putPizza({ ...pizza, place: places[i] ?? pizza.place }));
}

/** What hands should do for the next pizza, so that it is on the peel as the stone is ready; null where none waits. */
export function promptOf(cook: RunningCook, t: number): Now['prompt'] {
  const next: Pizza | undefined = cook.pizzas.find(isWaiting);
  const from = nextLaunchOf(cook, t);
  if (!next || from === null) return null;
  const at = Math.max(t, from);
  const stage = next.stage ?? 'ball';
  const onPeelSince = stage === 'topped' ? next.stagedAt : undefined;
  const { action, text, launchAt } = pace(t, at, {
    name: next.name || 'the next pizza',
    stage,
    ...(onPeelSince !== undefined && { onPeelSince }),
  });
  // A stone that bakes is not ready for another, whatever the clock says.
  if (action === 'launch' && cook.pizzas.some(isOnStone)) return null;
  return { pizza: next.id, action, text, stage, launchAt };
}
