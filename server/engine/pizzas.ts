import { end } from './alarm.ts';
import type { Baking, EngineState } from './engine-state.ts';

/** Pizzas on the stone: put on, taken off, taken back. Times s. */
type Launch = {
  launchedAt: number;
  pizza: string | null;
  eventId: string | null;
  isConfirmed: boolean;
  turnAfter?: number | undefined;
  offAfter?: number | undefined;
};

export function putOn(state: EngineState, launch: Launch): Baking {
  const { launchedAt, pizza, eventId, isConfirmed } = launch;
  const baking: Baking = {
    launchedAt,
    pizza,
    eventId,
    isConfirmed,
    key: state.nextKey,
    turnAfter: launch.turnAfter ?? state.bake.turnAfter,
    offAfter: launch.offAfter ?? state.bake.offAfter,
    turnedAt: null,
    turnEventId: null,
  };
  state.nextKey += 1;
  state.onStone.push(baking);
  return baking;
}

const KEPT = 20;

export function takeOff(state: EngineState, baking: Baking, at: number, eventId: string | null): void {
  state.onStone = state.onStone.filter((one) => one !== baking);
  state.taken.push({ baking, at, eventId });
  if (state.taken.length > KEPT) state.taken.shift();
  state.offAt = Math.max(at, state.offAt ?? at);
}

/** Back on the stone: the off was none. */
export function putBack(state: EngineState, at: (taken: EngineState['taken'][number]) => boolean): void {
  const found = state.taken.findLast(at);
  if (!found) return;
  state.taken = state.taken.filter((one) => one !== found);
  state.onStone.push(found.baking);
  state.onStone.sort((a, b) => a.launchedAt - b.launchedAt);
  state.offAt = state.taken.at(-1)?.at ?? null;
}

/** The pizza that an event means: the one named, else the one longest on the stone. */
export function meant(state: EngineState, pizza: string | undefined): Baking | undefined {
  return pizza === undefined ? state.onStone[0] : state.onStone.find((one) => one.pizza === pizza);
}

/** Alerts of pizzas that are no longer on the stone are over. */
export function endedAlarms(state: EngineState, t: number): EngineState['alarms'] {
  const ended: EngineState['alarms'] = [];
  state.alarms = state.alarms.filter((kept) => {
    const isOver = kept.key !== null && !state.onStone.some(({ key }) => key === kept.key);
    if (isOver && end(kept.alarm, t)) ended.push(kept);
    return !isOver;
  });
  return ended;
}
