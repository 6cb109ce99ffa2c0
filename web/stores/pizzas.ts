import type { Now } from '../../shared/live.ts';
import type { Pizza } from '../../shared/pizza.ts';

/** Countdowns and what comes next, from the live document and the time `t`, s. Pure. */

/** What hands do next to a pizza that is not launched, and the word for having done it. */
export const NEXT_STAGE = { ball: ['stretched', 'Stretched'], stretched: ['topped', 'On the peel'] } as const;

export type OnStone = {
  id: string | null;
  name: string;
  launchedAt: number;
  /** Seconds until the turn is due, below 0 when it is past; null when it was turned or needs no turn. */
  turnIn: number | null;
  offIn: number;
};

/** Common practice, no source: how long a stone takes to come back after a pizza, s, until the forecast says better. */
const RECOVERY_GUESS = 300;

export const nameOf = (pizza: Pick<Pizza, 'name'> | undefined): string => pizza?.name || 'the pizza';

/** The pizzas on the stone, the one with the next thing due first. */
export function onStone({ onStone, pizzas }: Now, t: number): OnStone[] {
  const entries = onStone.map(({ pizza: id, launchedAt, turnAt, offAt }) => {
    const pizza = pizzas.find((p) => p.id === id);
    const turned = turnAt === null || (pizza?.turnedAt ?? null) !== null;
    return { id, name: nameOf(pizza), launchedAt, turnIn: turned ? null : turnAt - t, offIn: offAt - t };
  });
  return entries.sort((a, b) => dueIn(a) - dueIn(b));
}

export const dueIn = ({ turnIn, offIn }: OnStone): number =>
  turnIn === null ? offIn : Math.min(turnIn, offIn);

export const waiting = ({ pizzas }: Now): Pizza[] => pizzas.filter((p) => p.launchedAt === null);

export type Act = 'launch' | 'turn' | 'off';

/** The tap that makes most sense next. */
export function nextAct(now: Now, t: number): Act {
  const first = onStone(now, t)[0];
  if (!first) return 'launch';
  return first.turnIn === null ? 'off' : 'turn';
}

/** When the next pizza can go on, s since the start; null where nothing can be said. */
export function nextLaunchAt(now: Now, t: number): number | null {
  const busyUntil = Math.max(0, ...now.onStone.map((p) => p.offAt));
  if (busyUntil > 0) return Math.max(t, busyUntil) + RECOVERY_GUESS;
  const ready = now.forecast?.readyAt ?? null;
  return ready === null ? null : Math.max(t, ready);
}

export type PlannedBake = { id: string; name: string; from: number; to: number };

/** Where the waiting pizzas will lie on the line, one after the other with time to recover between. */
export function runAhead(now: Now, t: number): PlannedBake[] {
  let from = nextLaunchAt(now, t);
  if (from === null) return [];
  const planned: PlannedBake[] = [];
  for (const { id, name, offAfter } of waiting(now)) {
    planned.push({ id, name: name || 'pizza', from, to: from + offAfter });
    from += offAfter + RECOVERY_GUESS;
  }
  return planned;
}
