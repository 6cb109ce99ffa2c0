import type { CookEvent, RecordedEvent } from '../event.ts';
import { happenedAt } from './happened-at.ts';

/** One pizza on the stone, from its launch on, as a person entered it. Times s since the cook started. */
export type Bake = {
  /** The event that launched it, and the one that took it off. */
  launch: string;
  off: string | null;
  pizza: string | null;
  launchedAt: number;
  turnedAt: number | null;
  offAt: number | null;
  /** After the launch, as it was last set; absent where nobody set it. A null is no turn. */
  turnAfter?: number | null | undefined;
  offAfter?: number | undefined;
};

/** Pizzas of one cook; beyond it nobody bakes. */
export const MAX_PIZZAS = 200;

/** A launch that was noticed and a launch that was tapped are of the same pizza when they are so near, s. */
export const SAME_LAUNCH_SECONDS = 90;

/** Off again within so many seconds, nothing was baked: a key was tapped by mistake (ours). */
const MISTAKE_SECONDS = 20;

/** Whether a launch and its off were taps by mistake: no bake, and no heat taken from the stone. */
export const isMistake = ({
  launchedAt,
  offAt,
}: {
  launchedAt: number | null;
  offAt: number | null;
}): boolean => launchedAt !== null && offAt !== null && offAt - launchedAt < MISTAKE_SECONDS;

const isOn = ({ offAt }: Bake): boolean => offAt === null;

/** The pizza that an event means: the one named, else the one longest on the stone. */
const meant = (bakes: readonly Bake[], pizza: string | undefined): Bake | undefined =>
  bakes.find((bake) => isOn(bake) && (pizza === undefined || bake.pizza === pizza));

const changed = (bakes: readonly Bake[], of: Bake | undefined, change: Partial<Bake>): readonly Bake[] =>
  of ? bakes.map((bake) => (bake === of ? { ...bake, ...change } : bake)) : bakes;

type Launch = Extract<CookEvent, { event: 'launch' }>;

function launched(
  bakes: readonly Bake[],
  id: string,
  launchedAt: number,
  launch: Omit<Launch, 'event'>,
): readonly Bake[] {
  const { pizza = null, turnAfter, offAfter } = launch;
  // One that lies there already and is launched again was put on anew.
  const others = bakes.filter((bake) => !(isOn(bake) && pizza !== null && bake.pizza === pizza));
  if (others.length >= MAX_PIZZAS) return bakes;
  const bake: Bake = { launch: id, off: null, pizza, launchedAt, turnedAt: null, offAt: null };
  if (turnAfter !== undefined) bake.turnAfter = turnAfter;
  if (offAfter !== undefined) bake.offAfter = offAfter;
  return [...others, bake];
}

/**
 * What an event that stands does to the pizzas on the stone. Pure.
 * @param id of the event
 * @returns the same list where it does nothing to them
 */
export function stepBakes(
  bakes: readonly Bake[],
  id: string,
  t: number,
  event: RecordedEvent,
): readonly Bake[] {
  const at = happenedAt(t, event);
  if (event.event === 'launch') return launched(bakes, id, at, event);
  if (event.event === 'turn') return changed(bakes, meant(bakes, event.pizza), { turnedAt: at });
  if (event.event === 'off') return changed(bakes, meant(bakes, event.pizza), { off: id, offAt: at });
  // Those of an undo only served an earlier engine: what the undone event left.
  if (event.event === 'bake-times' && event.by !== 'undo')
    return changed(bakes, meant(bakes, event.pizza), timesOf(event));
  return event.event === 'answer' && event.yes ? answered(bakes, id, event) : bakes;
}

function timesOf({ turnAfter, offAfter }: Extract<CookEvent, { event: 'bake-times' }>): Partial<Bake> {
  return { ...(turnAfter !== undefined && { turnAfter }), ...(offAfter !== undefined && { offAfter }) };
}

/** A yes makes what was noticed an event of its own, unless somebody tapped it besides. */
function answered(
  bakes: readonly Bake[],
  id: string,
  { noticed, at, pizza }: Extract<CookEvent, { event: 'answer' }>,
): readonly Bake[] {
  if (noticed === 'off') return changed(bakes, meant(bakes, pizza), { off: id, offAt: at });
  const isKnown = bakes.some(({ launchedAt }) => Math.abs(launchedAt - at) < SAME_LAUNCH_SECONDS);
  return noticed === 'launch' && !isKnown ? launched(bakes, id, at, { pizza }) : bakes;
}
