import type { Advice, BakeAhead, StoneBack } from '../../../shared/engine.ts';
import type { AlertName } from '../../../shared/alert/kinds.ts';
import type { EngineState } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { runAhead } from './run-ahead.ts';

/** Between two pizzas: when the stone is right again, and whether a hotter dome has it so sooner. */

/** A hotter dome is worth the walk to the vents where it saves so long, s, and does nearly all that the hottest would. */
const MIN_SAVED_SECONDS = 120;
const NEARLY_ALL = 0.8;
/** Stays so far below what the grill may have, and is a move worth saying, °C. */
const LIMIT_MARGIN_CELSIUS = 20;
const MIN_MOVE_CELSIUS = 10;
/** A dome that rises faster than this, °C/min, is not driven further; nor is one under which a pizza that is late by so long, s, finds the stone over its band. */
const RUNAWAY_PER_MINUTE = 6;
const LATE_SECONDS = 240;
/** While these stand nobody is told to make a fire hotter. */
const TOO_HOT: readonly AlertName[] = ['overshoot-ahead', 'overshot', 'dome-too-hot', 'lid-left-open'];

function isDrivable(state: EngineState, { dome }: Facts): boolean {
  const isCalled = state.alarms.some(
    ({ alert, alarm }) => TOO_HOT.includes(alert) && alarm.state !== 'normal',
  );
  return !isCalled && state.lid.phase !== 'open' && (dome?.perMinute ?? Infinity) < RUNAWAY_PER_MINUTE;
}

function sooner(state: EngineState, facts: Facts, bake: BakeAhead, at: number): StoneBack['sooner'] {
  if (!isDrivable(state, facts)) return null;
  const least = (facts.dome?.celsius ?? Infinity) + MIN_MOVE_CELSIUS;
  const most = (state.targets.domeLimit ?? Infinity) - LIMIT_MARGIN_CELSIUS;
  const found = (state.whatIf?.held ?? []).flatMap(({ dome, overAt }) => {
    if (dome < least || dome > most) return [];
    const launch = runAhead(state, facts, dome)?.next(bake);
    const isSafe = launch !== undefined && (overAt === null || overAt > launch.launchAt + LATE_SECONDS);
    return isSafe && launch.miss === 0 && at - launch.launchAt >= MIN_SAVED_SECONDS
      ? [{ dome, at: launch.launchAt }]
      : [];
  });
  const first = Math.min(...found.map((each) => each.at));
  return found.find((each) => at - each.at >= NEARLY_ALL * (at - first)) ?? null;
}

/**
 * The forecast, which sees how the stone moves now, says when it is ready; the model, how much longer this pizza wants, and how
 * much a dome saves.
 * @returns null with a pizza on the stone, or where nothing can be said
 */
export function stoneBack(state: EngineState, facts: Facts, bake: BakeAhead): StoneBack | null {
  if (state.onStone.length > 0) return null;
  const ahead = runAhead(state, facts, null);
  if (!ahead) return null;
  const own = ahead.next(bake).launchAt;
  const any = ahead.next({ ...bake, band: state.targets.stone }).launchAt;
  const found = sooner(state, facts, bake, own);
  const at = Math.max(facts.t, (state.forecast?.readyAt ?? any) + Math.max(0, own - any));
  // The dome shortens the wait that the forecast says by the share by which it shortens the model's.
  const share = found ? Math.min(1, (found.at - facts.t) / Math.max(1, own - facts.t)) : 1;
  const soonerAt = facts.t + share * (at - facts.t);
  return {
    at,
    sooner: found && at - soonerAt >= MIN_SAVED_SECONDS ? { dome: found.dome, at: soonerAt } : null,
  };
}

/** So long after a pizza came off the stone is between two, s. */
const BETWEEN_SECONDS = 1200;

const minutes = (seconds: number): string => `${Math.max(1, Math.round(seconds / 60))} min`;

/** The same in words. @param t now, s */
function wordsOf({ at, sooner }: StoneBack, t: number): string {
  const back = at - t < 30 ? '' : ` Stone back in about ${minutes(at - t)}.`;
  return sooner
    ? `${back} With the dome at ${sooner.dome} °C it is back ${minutes(at - sooner.at)} sooner.`
    : back;
}

/** Says in an advice between two pizzas when the stone is back; in place. */
export function adviseBack(state: EngineState, facts: Facts, advice: Advice): void {
  const { stone, offAt, targets, bake } = state;
  const isBetween = offAt !== null && facts.t - offAt < BETWEEN_SECONDS;
  if (!isBetween || stone.state === 'ready' || stone.state === 'hot') return;
  const back = stoneBack(state, facts, { band: targets.stone, seconds: bake.offAfter });
  if (!back) return;
  advice.back = back;
  advice.why += wordsOf(back, facts.t);
}
