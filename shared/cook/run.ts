import type { Pizza } from '../evening/pizza.ts';
import { MAX_PIZZAS, type Bake } from './bakes.ts';
import type { Cook } from './reduce.ts';

/** Turn and off after the launch, s; no turn where it is null. */
export type BakeTimes = { turnAfter: number | null; offAfter: number };

/** Common practice, no source: how long a stone takes to come back after a pizza, s. */
export const USUAL_RECOVERY_SECONDS = 300;
/** What a pizza's times may be (shared/evening/pizza.ts): an event says less closely. */
const TURN_RANGE_SECONDS = [20, 3600] as const;
const OFF_RANGE_SECONDS = [30, 7200] as const;

const clamp = (value: number, [low, high]: readonly [number, number]): number =>
  Math.min(high, Math.max(low, value));

export const boundTimes = <
  T extends { turnAfter?: number | null | undefined; offAfter?: number | undefined },
>(
  times: T,
): T => ({
  ...times,
  ...(times.turnAfter != null && { turnAfter: clamp(times.turnAfter, TURN_RANGE_SECONDS) }),
  ...(times.offAfter !== undefined && { offAfter: clamp(times.offAfter, OFF_RANGE_SECONDS) }),
});

export const isOnStone = (p: Pick<Pizza, 'launchedAt' | 'offAt'>): boolean =>
  p.launchedAt !== null && p.offAt === null;
export const isWaiting = (p: Pick<Pizza, 'launchedAt'>): boolean => p.launchedAt === null;

/** The name of a pizza that nobody announced. */
const UNANNOUNCED = /^Pizza \d+$/;

/** A run that was announced, and all of it baked. People need not announce theirs: then none is known to be the last. */
export const isRunBaked = (pizzas: readonly Pick<Pizza, 'name' | 'offAt'>[]): boolean =>
  pizzas.some(({ name }) => !UNANNOUNCED.test(name)) && pizzas.every(({ offAt }) => offAt !== null);

/** A pizza that nobody announced: launched as it was. */
export function unannounced(id: string, place: number, times: BakeTimes): Pizza {
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

/**
 * The pizzas of a cook in the order of the run: those announced, and those that a launch named though nobody had, with
 * the times that the events give them.
 * @param usual the times of a pizza for which nobody set any
 */
export function pizzasOf({ bakes, removed }: Cook, announced: readonly Pizza[], usual: BakeTimes): Pizza[] {
  const last = new Map<string, Bake>();
  for (const bake of bakes) if (bake.pizza !== null) last.set(bake.pizza, bake);
  const known = new Set(announced.map(({ id }) => id));
  const others = [...last.keys()]
    .filter((id) => !known.has(id))
    .slice(0, Math.max(0, MAX_PIZZAS - announced.length));
  const all = [
    ...announced,
    ...others.map((id, i) => unannounced(id, placeOf(id) ?? announced.length + i, boundTimes(usual))),
  ];
  return all
    .filter(({ id }) => last.has(id) || !removed.includes(id))
    .map((pizza) => withTimes(pizza, last.get(pizza.id)))
    .sort((a, b) => a.place - b.place || a.id.length - b.id.length || (a.id < b.id ? -1 : 1));
}

/** Of an id that was given by the cook itself. */
function placeOf(id: string): number | null {
  const [, number] = /^p([1-9]\d{0,2})$/.exec(id) ?? [];
  return number === undefined ? null : Number(number) - 1;
}

function withTimes(pizza: Pizza, bake: Bake | undefined): Pizza {
  if (!bake) return { ...pizza, launchedAt: null, turnedAt: null, offAt: null };
  const { launchedAt, turnedAt, offAt, turnAfter = pizza.turnAfter, offAfter = pizza.offAfter } = bake;
  return { ...pizza, launchedAt, turnedAt, offAt, ...boundTimes({ turnAfter, offAfter }) };
}
