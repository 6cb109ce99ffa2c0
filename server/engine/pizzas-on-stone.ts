import { isMistake, type Bake } from '../../shared/cook/bakes.ts';
import { end } from './alarm/alarm.ts';
import type { Baking, EngineState, TakenOff } from './engine-state.ts';

/** Pizzas on the stone: those that people said are there, and those that were read off the curves. Times s. */

/** What was read off the curve: nobody said that it is there. */
export function putOn(state: EngineState, { launchedAt }: { launchedAt: number }): Baking {
  const baking = freshBaking(state, { launchedAt, launch: null, pizza: null });
  state.onStone.push(baking);
  state.onStone.sort(byLaunch);
  return baking;
}

/** Of two at one moment that which was tapped comes first, live and after a restart alike. */
const byLaunch = (a: Baking, b: Baking): number =>
  a.launchedAt - b.launchedAt || Number(a.launch === null) - Number(b.launch === null);

function freshBaking(
  state: EngineState,
  { launchedAt, launch, pizza }: Pick<Baking, 'launchedAt' | 'launch' | 'pizza'>,
): Baking {
  const key = state.nextKey++;
  const isConfirmed = launch !== null;
  return {
    key,
    pizza,
    launch,
    launchedAt,
    ...state.bake,
    turnedAt: null,
    isTurnTapped: false,
    isConfirmed,
    seenOffAt: null,
  };
}

/** So many that came off are known still. */
const MAX_REMEMBERED = 20;

export function takeOff(state: EngineState, baking: Baking, at: number, off: string | null): void {
  state.onStone = state.onStone.filter((candidate) => candidate !== baking);
  state.takenOff.push({ baking, at, off });
  if (state.takenOff.length > MAX_REMEMBERED) state.takenOff.shift();
  state.offAt = Math.max(at, state.offAt ?? at);
}

/** Back on the stone: the off was none. */
export function putBack(state: EngineState, isMeant: (takenOff: TakenOff) => boolean): void {
  const found = state.takenOff.findLast(isMeant);
  if (!found) return;
  state.takenOff = state.takenOff.filter((baking) => baking !== found);
  state.onStone.push(found.baking);
  state.onStone.sort(byLaunch);
  state.offAt = state.takenOff.at(-1)?.at ?? null;
}

/** Brings what lies on the stone, and what came off, in line with what people said by now. */
export function followCook(state: EngineState): void {
  const bakes = state.cook.bakes.filter((bake) => !isMistake(bake));
  const known = new Map(
    [...state.onStone, ...state.takenOff.map(({ baking }) => baking)].map((b) => [b.launch, b]),
  );
  const onStone = state.onStone.filter(({ launch }) => launch === null);
  const takenOff = state.takenOff.filter(({ baking }) => baking.launch === null);
  const cameOff = bakes.filter(({ offAt }) => offAt !== null).slice(-MAX_REMEMBERED);
  for (const bake of bakes) {
    if (bake.offAt !== null && !cameOff.includes(bake)) continue;
    const baking = withTimes(known.get(bake.launch) ?? freshBaking(state, bake), bake, state.bake);
    if (bake.offAt !== null) takenOff.push({ baking, at: bake.offAt, off: bake.off });
    else onStone.push(baking);
  }
  state.onStone = onStone.sort(byLaunch);
  state.takenOff = takenOff.sort((a, b) => a.at - b.at).slice(-MAX_REMEMBERED);
  state.offAt = state.takenOff.at(-1)?.at ?? null;
}

function withTimes(baking: Baking, bake: Bake, usual: EngineState['bake']): Baking {
  baking.launchedAt = bake.launchedAt;
  baking.pizza = bake.pizza;
  baking.turnAfter = bake.turnAfter === undefined ? usual.turnAfter : bake.turnAfter;
  baking.offAfter = bake.offAfter ?? usual.offAfter;
  // A turn that was read off the lid stays, unless somebody says otherwise.
  if (bake.turnedAt !== null || baking.isTurnTapped) baking.turnedAt = bake.turnedAt;
  baking.isTurnTapped = bake.turnedAt !== null;
  return baking;
}

/** Alerts of pizzas that are no longer on the stone are over. */
export function endedAlarms(state: EngineState, t: number): EngineState['alarms'] {
  const ended: EngineState['alarms'] = [];
  state.alarms = state.alarms.filter((alarm) => {
    const isOver = alarm.key !== null && !state.onStone.some(({ key }) => key === alarm.key);
    if (isOver && end(alarm.alarm, t)) ended.push(alarm);
    return !isOver;
  });
  return ended;
}
