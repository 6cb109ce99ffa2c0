import { isRunBaked, isWaiting, USUAL_RECOVERY_SECONDS } from '../../../shared/cook/run.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';

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

export const nameOf = (pizza: Pick<Pizza, 'name'> | undefined): string => pizza?.name || 'the pizza';

/** The pizzas on the stone, the one with the next thing due first. */
export function onStone({ onStone, pizzas }: Now, t: number): OnStone[] {
  const entries = onStone.map(({ pizza: id, launchedAt, turnAt, offAt }) => {
    const pizza = pizzas.find((p) => p.id === id);
    const turned = turnAt === null || (pizza?.turnedAt ?? null) !== null;
    return { id, name: nameOf(pizza), launchedAt, turnIn: turned ? null : turnAt - t, offIn: offAt - t };
  });
  // What was only guessed from the curve does not hold up what somebody launched.
  return entries.sort((a, b) => Number(a.id === null) - Number(b.id === null) || dueIn(a) - dueIn(b));
}

const dueIn = ({ turnIn, offIn }: OnStone): number => (turnIn === null ? offIn : Math.min(turnIn, offIn));

/** The run that was announced is baked, or the fire is being ended after the last pizza. */
export const isRunOver = ({ pizzas, isOver }: Now): boolean => isOver || isRunBaked(pizzas);

export const waiting = ({ pizzas }: Pick<Now, 'pizzas'>): Pizza[] => pizzas.filter(isWaiting);

/** The order with this one and its neighbour changed; null where it has none on that side. */
export function swapped(order: readonly string[], id: string, by: -1 | 1): string[] | null {
  const at = order.indexOf(id);
  const other = order[at + by];
  if (at < 0 || other === undefined) return null;
  return order.map((each) => (each === id ? other : each === other ? id : each));
}

/** When the next pizza can go on, s since the start; null where unknown, and where a recording is over. */
export const nextLaunchAt = ({ nextLaunchAt: at, rehearsal }: Now, t: number): number | null =>
  at === null || rehearsal?.ended ? null : Math.max(t, at);

type PlannedBake = { id: string; name: string; from: number; to: number };

/** Where the waiting pizzas will lie on the line, one after the other with time to recover between. */
export function runAhead(now: Now, t: number): PlannedBake[] {
  let from = nextLaunchAt(now, t);
  if (from === null) return [];
  const planned: PlannedBake[] = [];
  for (const { id, name, offAfter } of waiting(now)) {
    planned.push({ id, name: name || 'pizza', from, to: from + offAfter });
    from += offAfter + USUAL_RECOVERY_SECONDS;
  }
  return planned;
}
