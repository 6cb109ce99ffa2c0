import type { EngineState } from './engine-state.ts';
import type { Facts } from './facts.ts';

/** The present course of dome and stone, a value each `STEP` s from now on, °C, with one standard error. */
export type Course = { stone: number[]; dome: number[]; stoneError: number[]; domeError: number[] };

export const STEP = 15;
const HORIZON = 1200;
export const STEPS = HORIZON / STEP;

const since = (t: number, at: number | null): number => t - (at ?? -1e6);

/** A dome's drift dies out so fast, s (our choice; handbook section 11: minutes for the air, an hour for the body). */
const DRIFT_LASTS = 600;
/** °C/min: what a lid or a shovel leaves of a rate says nothing of the next minutes. */
const MOST_DRIFT = 12;
/** Air that comes back after a lid is back after some minutes; for so long after it, s, a rise is taken for that. */
const RETURN = { lasts: 150, seen: 600, least: 120 };

type Air = { celsius: number; drift: number; lasts: number };

/** Where the air heads, °C and °C/s, as if the lid had not been opened. */
function airOf({ lid, offAt }: EngineState, { t, dome }: Facts): Air | null {
  if (!dome) return null;
  const drift = Math.max(-MOST_DRIFT, Math.min(MOST_DRIFT, dome.perMinute)) / 60;
  const isBack = drift > 0 && since(t, lid.closedAt) < RETURN.least;
  if (lid.phase === 'open' || isBack)
    return { celsius: Math.max(dome.celsius, lid.level), drift: 0, lasts: DRIFT_LASTS };
  const returns = drift > 0 && Math.min(since(t, lid.closedAt), since(t, offAt)) < RETURN.seen;
  return { celsius: dome.celsius, drift, lasts: returns ? RETURN.lasts : DRIFT_LASTS };
}

/**
 * What the stone does beyond the model goes on for so long, s: of an undisturbed one as long as the fire goes on as it
 * does; of one that dough lies on, until that dough is as hot as it gets; of one just freed, until its skin and its core
 * are at one (L²/α of 15 mm of cordierite is about 280 s, handbook section 7; the skin is quicker).
 */
const LASTS = { alone: 600, covered: 60, freed: 150 };
const FREED_FOR = 700;

/** The share of a freed stone's rate that the heat of the grill sustains (our choice, from simulated cooks). */
const SUSTAINED = 0.35;

const isCovered = ({ onStone }: EngineState): boolean => onStone.length > 0;
const isFreed = ({ offAt }: EngineState, t: number): boolean => since(t, offAt) < FREED_FOR;

function mismatchLasts(state: EngineState, t: number): number {
  if (isCovered(state)) return LASTS.covered;
  return isFreed(state, t) ? LASTS.freed : LASTS.alone;
}

/** Vents that were moved within this time, s: the dome has not come to what they make of it. */
const VENT_TELLS = 300;
/** A stone below this, °C, is of a young fire: how far that grows can't be told from what it does. */
const YOUNG = 90;

/** One standard error, °C, by the seconds ahead. */
type Scatter = (s: number) => number;

/** Measured on simulated cooks of several kinds of grill, stone and sensor, so that 80 % ranges hold 80 %. */
function scattersOf(state: EngineState, { t, stone }: Facts): { stone: Scatter; dome: Scatter } {
  const isUnsettled = isCovered(state) || isFreed(state, t) || since(t, state.ventAt) < VENT_TELLS;
  const youth = stone ? Math.max(0, 1 - stone.celsius / YOUNG) : 1;
  // Of a stone that dough draws down most is known, however fast it falls.
  const pace = Math.min(isCovered(state) ? 6 : Infinity, Math.abs(stone?.pace ?? 0));
  const perMinute = (isUnsettled ? 1.6 : 1) * (0.3 + 0.085 * pace);
  return {
    stone: (s) => {
      const m = s / 60;
      return perMinute * m * (1 + m / 16) + youth * m * (0.3 + 0.17 * m);
    },
    dome: (s) => (s / 60) * ((isUnsettled ? 4.8 : 2.1) + 10 * youth),
  };
}

/** dT/dt = a·(dome − T) + c with the dome's drift dying out: nobody touches anything. */
export function presentCourse(state: EngineState, facts: Facts): Course | null {
  const { t, stone, dome } = facts;
  if (!stone) return null;
  const { a, c } = state.model;
  const course: Course = { stone: [stone.celsius], dome: [], stoneError: [stone.error], domeError: [] };
  const rate = stone.pace / 60;
  // Without a dome the stone's own rate says what it heads for; of a freed stone's most is its skin's.
  const air = airOf(state, facts) ?? {
    celsius: stone.celsius + ((isFreed(state, t) ? SUSTAINED : 1) * rate - c) / a,
    drift: 0,
    lasts: DRIFT_LASTS,
  };
  const mismatch = rate - (a * (air.celsius - stone.celsius) + c);
  const lasts = mismatchLasts(state, t);
  const scatter = scattersOf(state, facts);
  let x = stone.celsius;
  for (let i = 0; i <= STEPS; i++) {
    const s = i * STEP;
    const heading = air.celsius + air.drift * air.lasts * (1 - Math.exp(-s / air.lasts));
    course.dome.push(heading);
    course.domeError.push(Math.hypot(dome?.error ?? 20, scatter.dome(s)));
    if (i === 0) continue;
    x += STEP * (a * (heading - x) + c + mismatch * Math.exp(-s / lasts));
    course.stone.push(x);
    course.stoneError.push(Math.hypot(stone.error, scatter.stone(s)));
  }
  return course;
}
