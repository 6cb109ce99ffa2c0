import type { Pizza } from '../../shared/pizza.ts';
import type { StoredEvent } from '../store/store.ts';

/** What an event does to the pizza it names, with the time it truly happened. */
function moment({
  event,
  t,
}: StoredEvent): { pizza?: string | undefined; does: 'launch' | 'turn' | 'off'; t: number } | null {
  if (event.event === 'launch' || event.event === 'off')
    return { pizza: event.pizza, does: event.event, t: t - (event.ago ?? 0) };
  if (event.event === 'turn') return { pizza: event.pizza, does: 'turn', t };
  if (event.event === 'answer' && event.yes && (event.noticed === 'launch' || event.noticed === 'off'))
    return { pizza: event.pizza, does: event.noticed, t: event.at };
  return null;
}

/** Marks the moves of guidance, so that a person's own word is known from them. */
export const BY_GUIDE = 'guidance';

/** Whether a person did it: guidance moves times too often to be listed. */
export const isByPerson = ({ event }: StoredEvent): boolean =>
  event.event !== 'bake-times' || event.note !== BY_GUIDE;

const FIELD = { launch: 'launchedAt', turn: 'turnedAt', off: 'offAt' } as const;

/** The pizzas with their times as the events that stand tell them; undone ones leave no trace. */
export function withTimes(pizzas: readonly Pizza[], events: readonly StoredEvent[]): Pizza[] {
  const timed = new Map<string, Pizza>(
    pizzas.map((p) => [p.id, { ...p, launchedAt: null, turnedAt: null, offAt: null }]),
  );
  for (const event of events) {
    const what = event.undone ? null : moment(event);
    const pizza = what?.pizza === undefined ? undefined : timed.get(what.pizza);
    if (what && pizza) pizza[FIELD[what.does]] = what.t;
    if (event.event.event === 'bake-times' && !event.undone)
      moveTimes(timed.get(event.event.pizza ?? ''), event.event);
  }
  return [...timed.values()].sort((a, b) => a.place - b.place);
}

function moveTimes(
  pizza: Pizza | undefined,
  times: { turnAfter?: number | undefined; offAfter?: number | undefined },
): void {
  if (!pizza) return;
  if (times.turnAfter !== undefined) pizza.turnAfter = times.turnAfter;
  if (times.offAfter !== undefined) pizza.offAfter = times.offAfter;
}

export const isOnStone = (p: Pizza): boolean => p.launchedAt !== null && p.offAt === null;
export const isWaiting = (p: Pizza): boolean => p.launchedAt === null;

/** A pizza that nobody announced: launched as it was. */
export function unannounced(
  id: string,
  place: number,
  times: { turnAfter: number; offAfter: number },
): Pizza {
  return {
    id,
    name: `Pizza ${place + 1}`,
    eater: '',
    likes: '',
    ...times,
    place,
    launchedAt: null,
    turnedAt: null,
    offAt: null,
    base: null,
    top: null,
    notes: '',
  };
}
