import type { EngineState } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { dialAt } from '../heat/dial.ts';
import { likelyOf } from '../estimate/unmeasured.ts';
import { lookedAt } from '../heat/doubt.ts';
import { scaleOf } from '../heat/tracker.ts';
import { PIZZA_FLAG, STEP_SECONDS } from '../heat/heat-history.ts';
import { courseUnder, followsBy, project } from '../heat/project.ts';
import { domeByHabit } from './habit.ts';

/**
 * The present trajectory of dome and stone, a value each `STEP_SECONDS` s from now on, °C, with one standard error: nobody touches
 * anything. `further`: the stone alone, for `MAX_LOOKAHEAD_STEPS` steps; `follows`: the rate, 1/s, at which it would come back to that
 * trajectory if it were off it.
 */
export type Trajectory = {
  stone: number[];
  dome: number[];
  stoneError: number[];
  domeError: number[];
  further: number[];
  follows: number;
  /** `further` as the person of the cooks before holds the dome; null where nothing is known of that. */
  habitual: number[] | null;
};

export const LOOKAHEAD_STEPS = 1200 / STEP_SECONDS;
export const MAX_LOOKAHEAD_STEPS = 3000 / STEP_SECONDS;

const since = (t: number, at: number | null): number => t - (at ?? -1e6);

/**
 * A dome's drift dies out so fast, s: a fire soon burns as its vents let it, a body that cools takes an hour about it. Over 160
 * cooks of the half to tune on (bench:engine), a dome above the band that falls and is left alone is foreseen 10 min ahead too
 * warm by 4 to 7 °C on the median with 600 s, too cool by 0 to 6 with 1800.
 */
const DRIFT_TAU_SECONDS = { rises: 600, falls: 1200 };
/** °C/min: what a lid or a shovel leaves of a rate says nothing of the next minutes. */
const MAX_DRIFT_PER_MINUTE = 12;
/** Air that comes back after a lid is back after some minutes; for so long after it, s, a rise is taken for that. */
const LID_RETURN_SECONDS = { lasts: 150, seen: 600, least: 120 };

type Air = (s: number) => number;

const drifting =
  (celsius: number, drift: number, lasts: number): Air =>
  (s) =>
    celsius + drift * lasts * (1 - Math.exp(-s / lasts));

/** The dome of an analysis that is given it, straight between its readings. */
function givenAt(given: readonly (readonly [number, number])[], t: number): number {
  let [low, high] = [0, given.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((given[middle]?.[0] ?? 0) <= t) low = middle;
    else high = middle;
  }
  const [[t1, y1], [t2, y2]] = [given[low] ?? [0, 0], given[high] ?? [0, 0]];
  return t2 > t1 ? y1 + (y2 - y1) * Math.max(0, Math.min(1, (t - t1) / (t2 - t1))) : y1;
}

/** @param isUnsettled the lid was up not long ago: a rise is the air that comes back, a fall not the body that cools */
function driftTau(drift: number, isUnsettled: boolean): number {
  if (drift > 0) return isUnsettled ? LID_RETURN_SECONDS.lasts : DRIFT_TAU_SECONDS.rises;
  return isUnsettled ? DRIFT_TAU_SECONDS.rises : DRIFT_TAU_SECONDS.falls;
}

/** Where the air heads, °C at `s` seconds from now, as if the lid had not been opened. */
function airOf(state: EngineState, { t, dome, domeChannel }: Facts): Air | null {
  const { lid, offAt, givenDome } = state;
  if (givenDome) return (s) => givenAt(givenDome, t + s);
  if (!dome) return null;
  const looks = lookedAt(state, 'dome')?.looks;
  if (!domeChannel && looks) return (s) => dialAt(looks, t + s);
  const drift = Math.max(-MAX_DRIFT_PER_MINUTE, Math.min(MAX_DRIFT_PER_MINUTE, dome.perMinute)) / 60;
  const isBack = drift > 0 && since(t, lid.closedAt) < LID_RETURN_SECONDS.least;
  if (lid.phase === 'open' || isBack)
    return drifting(Math.max(dome.celsius, lid.level), 0, DRIFT_TAU_SECONDS.rises);
  const isUnsettled = Math.min(since(t, lid.closedAt), since(t, offAt)) < LID_RETURN_SECONDS.seen;
  return drifting(dome.celsius, drift, driftTau(drift, isUnsettled));
}

/** Vents that were moved within this time, s: the dome has not come to what they make of it. */
const VENT_SETTLES_SECONDS = 300;
/** A stone below this, °C, is of a young fire: how far that grows can't be told from what it does. */
const YOUNG_FIRE_CELSIUS = 90;
/** How far the dome may stray from its course, °C for each minute ahead: usually, while things are unsettled, of a young fire. */
const DOME_SPREAD_PER_MINUTE = { settled: 2.1, unsettled: 4.8, young: 10 };

function strayOf(state: EngineState, { t, stone }: Facts): number {
  const isUnsettled =
    state.onStone.length > 0 || since(t, state.offAt) < 700 || since(t, state.ventAt) < VENT_SETTLES_SECONDS;
  const youth = stone ? Math.max(0, 1 - stone.celsius / YOUNG_FIRE_CELSIUS) : 1;
  return (
    ((isUnsettled ? DOME_SPREAD_PER_MINUTE.unsettled : DOME_SPREAD_PER_MINUTE.settled) +
      DOME_SPREAD_PER_MINUTE.young * youth) /
    60
  );
}

export function presentTrajectory(state: EngineState, facts: Facts): Trajectory | null {
  const { stone, dome } = facts;
  const air = airOf(state, facts);
  const { tracker } = state;
  const { history, members } = tracker;
  const [most] = members;
  if (!stone) return null;
  if (!air || !history || !most) return coasting(facts);
  const stray = state.givenDome ? 0 : strayOf(state, facts);
  const hands = state.onStone.length > 0 ? PIZZA_FLAG : 0;
  const ahead = { dome: air, stray, hands, steps: LOOKAHEAD_STEPS, further: MAX_LOOKAHEAD_STEPS };
  const { surface, variance, astray } = project(tracker, stone.isEstimate ? likelyOf(state) : stone, ahead);
  // How far off looks were is how far off what is to come may be.
  const scale = stone.isEstimate ? scaleOf(tracker) : 1;
  const trajectory: Trajectory = {
    stone: surface.slice(0, LOOKAHEAD_STEPS + 1),
    dome: [],
    stoneError: [],
    domeError: [],
    further: surface,
    follows: followsBy(most.p),
    habitual: habitualCourse(state, facts, air),
  };
  for (let i = 0; i <= LOOKAHEAD_STEPS; i++) {
    const s = i * STEP_SECONDS;
    trajectory.dome.push(air(s));
    trajectory.domeError.push(Math.hypot(dome?.error ?? 20, stray * s));
    const byDome = (astray[i] ?? 0) - (surface[i] ?? 0);
    trajectory.stoneError.push(Math.sqrt(scale * (variance[i] ?? 0) + byDome ** 2));
  }
  return trajectory;
}

/** What the stone does under a dome that is held as in the cooks before. */
function habitualCourse(state: EngineState, { stone, dome, low, high }: Facts, air: Air): number[] | null {
  const { tracker, habit, givenDome, lid } = state;
  if (!tracker.isTaught || givenDome || !dome || !stone || stone.celsius >= low || lid.phase === 'open')
    return null;
  const now = {
    dome: air(0),
    perSecond: (air(STEP_SECONDS) - air(0)) / STEP_SECONDS,
    drifts: air(MAX_LOOKAHEAD_STEPS * STEP_SECONDS),
  };
  const held = domeByHabit(habit, now, [low, high]);
  return held && courseUnder(tracker, stone.isEstimate ? likelyOf(state) : stone, held, MAX_LOOKAHEAD_STEPS);
}

/** How long the rate of a stone lasts whose dome nobody knows, s, and by how much it may stray, °C/min. */
const COAST_TAU_SECONDS = 900;
const COAST_SPREAD_PER_MINUTE = 0.8;

/** Without a dome the stone's own rate says what it heads for, as of any body with one time constant. */
function coasting({ stone }: Facts): Trajectory {
  const { celsius, pace, error } = stone ?? { celsius: 0, pace: 0, error: 20 };
  const at = (i: number): number =>
    celsius + (pace / 60) * COAST_TAU_SECONDS * (1 - Math.exp((-i * STEP_SECONDS) / COAST_TAU_SECONDS));
  const indices = Array.from({ length: MAX_LOOKAHEAD_STEPS + 1 }, (_, i) => i);
  return {
    stone: indices.slice(0, LOOKAHEAD_STEPS + 1).map(at),
    dome: [],
    stoneError: indices
      .slice(0, LOOKAHEAD_STEPS + 1)
      .map((i) => Math.hypot(error, (COAST_SPREAD_PER_MINUTE * i * STEP_SECONDS) / 60)),
    domeError: [],
    further: indices.map(at),
    follows: 1 / COAST_TAU_SECONDS,
    habitual: null,
  };
}
