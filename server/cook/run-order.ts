import type { EngineView } from '../../shared/engine.ts';
import { DEFAULT_TARGETS } from '../../shared/engine.ts';
import type { Now } from '../../shared/live.ts';
import type { Pizza } from '../../shared/pizza.ts';
import { proposeOrder, reason, slots, type Rhythm, type Wish } from '../evening/run/order.ts';
import { pace } from '../evening/run/pace.ts';
import { isOnStone, isWaiting } from './pizzas.ts';
import type { RunningCook } from './running.ts';

/** Common practice, no source: how long a stone takes to come back after a pizza, s. */
const RECOVERY = 300;
const MIDDLING = { base: 0, crust: 0, wetness: 0 };

export type Proposal = { id: string; reason: string };

/** The order proposed for these pizzas, with the reason for each place; `rhythm.readyAt` is when the first goes on. */
export function proposed(
  pizzas: readonly { id: string; eater: string; taste?: Wish['taste'] | undefined }[],
  rhythm: Rhythm,
  curve: readonly { t: number; celsius: number }[],
  band: readonly [number, number],
): Proposal[] {
  const wishes = pizzas.map(({ id, eater, taste }) => ({ id, eater, taste: taste ?? MIDDLING }));
  const places = slots(wishes.length, rhythm, curve, band);
  return proposeOrder(wishes, places).map((wish, i) => ({
    id: wish.id,
    reason: reason(wish, places[i] ?? { at: 0, stone: band[0] }, band),
  }));
}

/** When the next pizza can go on, s; null where nothing can be said. */
export function nextLaunch(view: EngineView, t: number): number | null {
  const busy = Math.max(0, ...view.onStone.map(({ offAt }) => offAt));
  if (busy > 0) return Math.max(t, busy) + RECOVERY;
  if (view.state === 'ready') return t;
  const ready = view.forecast?.readyAt ?? null;
  return ready === null ? null : Math.max(t, ready);
}

/** The waiting pizzas of the running cook in a better order. */
export function proposedRun(cook: RunningCook, t: number): Proposal[] {
  const view = cook.view();
  const waiting = cook.pizzas.filter(isWaiting);
  const bakeSeconds = waiting[0]?.offAfter ?? 450;
  return proposed(
    waiting,
    { readyAt: nextLaunch(view, t) ?? t, bakeSeconds, recoverySeconds: RECOVERY },
    view.forecast?.curves.stone ?? [],
    cook.targets.stone ?? DEFAULT_TARGETS.stone,
  );
}

/** What hands should do for the next pizza, so that it is on the peel as the stone is ready; null where none waits. */
export function promptOf(cook: RunningCook, t: number): Now['prompt'] {
  const next: Pizza | undefined = cook.pizzas.find(isWaiting);
  const at = nextLaunch(cook.view(), t);
  if (!next || at === null) return null;
  const stage = next.stage ?? 'ball';
  const onPeelSince = stage === 'topped' ? next.stagedAt : undefined;
  const { say, text, launchAt } = pace(t, at, {
    name: next.name || 'the next pizza',
    stage,
    ...(onPeelSince !== undefined && { onPeelSince }),
  });
  // A stone that bakes is not ready for another, whatever the clock says.
  if (say === 'launch' && cook.pizzas.some(isOnStone)) return null;
  return { pizza: next.id, say, text, stage, launchAt };
}
