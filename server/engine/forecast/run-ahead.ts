import { SECONDS_A_DEGREE, type Band, type LaunchAhead, type StoneAhead } from '../../../shared/engine.ts';
import type { EngineState } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { likelyOf } from '../estimate/unmeasured.ts';
import { driveOf, stepHeat } from '../heat/grill-fit.ts';
import { even, PIZZA_FLAG, STEADY_CELSIUS, STEP_SECONDS, TWO_MINUTES } from '../heat/heat-history.ts';
import { copyOfCovariance, update } from '../heat/kalman.ts';
import { copyOfHeat, SURFACE_SHARE, type Drive, type Heat, type Parameters } from '../heat/model.ts';
import { presentTrajectory } from './stone-trajectory.ts';

/**
 * The stone through the pizzas to come, by the heat model at what is most likely: under the dome as it goes, or held. Each is
 * launched when the stone is steady and right for it, or at the least sum of waiting and missing where it never gets so.
 */

/** A pizza waits for its stone no longer than this, s (our choice). */
const MAX_WAIT_SECONDS = 900;
/** A dome that is to be held elsewhere is there by a factor of e in so long, s. */
const DOME_TAU_SECONDS = 300;

/** The grill, and its dome at `t` s, °C. */
type Under = { p: Parameters; ground: number; band: Band; domeAt: (t: number) => number };
/** `moves`: what the surface moved in the last two minutes, a step each, °C. */
type At = { t: number; heat: Heat; moves: readonly number[] };

const missOf = (celsius: number, [low, high]: Band): number => Math.max(0, low - celsius, celsius - high);

/** One step on, in place. @returns what the surface moved */
function step({ p, ground, domeAt }: Under, t: number, heat: Heat, hands: number): number {
  const before = heat.surface;
  stepHeat(heat, p, driveOf(domeAt(t), hands, ground));
  return heat.surface - before;
}

function launch(under: Under, from: At, band: Band): At {
  const heat = copyOfHeat(from.heat);
  const moves = [...from.moves];
  let change = moves.reduce((sum, move) => sum + move, 0);
  let best: At | null = null;
  let least = Infinity;
  let [nearest, miss]: [At | null, number] = [null, Infinity];
  for (let waited = 0; waited <= MAX_WAIT_SECONDS && waited < least; waited += STEP_SECONDS) {
    const off = missOf(heat.surface, under.band);
    const cost = off > 0 ? Infinity : waited + SECONDS_A_DEGREE * missOf(heat.surface, band);
    if (Math.abs(change) < STEADY_CELSIUS && (cost < least || off < miss)) {
      const here = { t: from.t + waited, heat: copyOfHeat(heat), moves: [] };
      if (cost < least) [best, least] = [here, cost];
      if (off < miss) [nearest, miss] = [here, off];
    }
    const moved = step(under, from.t + waited, heat, 0);
    moves.push(moved);
    change += moved - (moves[moves.length - 1 - TWO_MINUTES] ?? 0);
  }
  return best ?? nearest ?? { t: from.t + MAX_WAIT_SECONDS, heat, moves: [] };
}

/**
 * Under a pizza the bulk falls with the surface once the cold has gone through the plate, by this share and in so long, s: d²/α of
 * 15 mm of cordierite is 7 min. Two nodes whose exchange was learnt from a slow warm-up have it fall by less.
 */
const BULK_FALLS = 0.8;
const THROUGH_SECONDS = 420;

function bake(under: Under, { t, heat: before }: At, seconds: number): At {
  const heat = copyOfHeat(before);
  const moves: number[] = [];
  for (let s = 0; s < seconds; s += STEP_SECONDS) moves.push(step(under, t + s, heat, PIZZA_FLAG));
  const fell = Math.max(0, before.surface - heat.surface);
  heat.bulk = Math.min(heat.bulk, before.bulk - BULK_FALLS * fell * Math.min(1, seconds / THROUGH_SECONDS));
  return { t: t + seconds, heat, moves: moves.slice(-TWO_MINUTES) };
}

/** @returns the stone from `at` on */
export function stoneFrom(under: Under, at: At): StoneAhead {
  return {
    t: at.t,
    next({ band, seconds }): LaunchAhead {
      const launched = launch(under, at, band);
      const { surface } = launched.heat;
      const off = bake(under, launched, seconds);
      return {
        launchAt: launched.t,
        stone: surface,
        miss: missOf(surface, band),
        offAt: off.t,
        get rest() {
          return stoneFrom(under, off);
        },
      };
    },
  };
}

/** What a pizza draws from the bulk is known to so much, °C, one standard error (own estimate). */
const BULK_DOUBT_CELSIUS = 10;
/** Variance of the rate of a stone that is measured, (°C/s)²: as of 1.5 °C/min. */
const PACE_VARIANCE = (1.5 / 60) ** 2;

/**
 * The heat of the stone now. Of one that is measured the surface is known, and its pace tells how warm the bulk is. What the
 * model did not know while a pizza lay there was of that pizza: it is dropped.
 */
function stoneNow(state: EngineState, stone: NonNullable<Facts['stone']>, drive: Drive): Heat {
  const [most] = state.tracker.members;
  const likely = stone.isEstimate ? likelyOf(state) : null;
  const { heat: from, P } = likely ?? most ?? { heat: even(stone.celsius), P: null };
  const heat = { ...copyOfHeat(from), extra: 0 };
  if (!P || !most || likely) return heat;
  const bulkVariance = Math.max(P.bb, BULK_DOUBT_CELSIUS ** 2);
  update(heat, copyOfCovariance(P), stone.celsius, stone.error ** 2 + 0.1);
  heat.extra = 0;
  if (state.onStone.length > 0) return heat;
  const after = copyOfHeat(heat);
  stepHeat(after, most.p, drive);
  const rate = (after.surface - heat.surface) / STEP_SECONDS;
  const gain = most.p.k / SURFACE_SHARE;
  const K = (bulkVariance * gain) / (gain ** 2 * bulkVariance + PACE_VARIANCE);
  heat.bulk += K * (stone.pace / 60 - rate);
  return heat;
}

/**
 * The stone from now on, or from when the last pizza on it is to be off.
 * @param held the dome, °C; null: as it goes
 * @returns null where the model follows no stone, or nobody knows the dome
 */
export function runAhead(state: EngineState, facts: Facts, held: number | null): StoneAhead | null {
  const { t, stone, dome } = facts;
  const { members, history } = state.tracker;
  const [most] = members;
  const course = presentTrajectory(state, facts)?.dome ?? [];
  if (!stone?.isFresh || !dome || !most || !history || course.length === 0) return null;
  const heat = stoneNow(state, stone, driveOf(dome.celsius, 0, history.ground));
  const domeAt = (at: number): number => {
    const s = at - t;
    if (held !== null) return held + (dome.celsius - held) * Math.exp(-s / DOME_TAU_SECONDS);
    return course[Math.min(course.length - 1, Math.round(s / STEP_SECONDS))] ?? dome.celsius;
  };
  const under = { p: most.p, ground: history.ground, band: state.targets.stone, domeAt };
  const change = stone.change ?? 2 * stone.perMinute;
  const now = { t, heat, moves: Array.from({ length: TWO_MINUTES }, () => change / TWO_MINUTES) };
  const left = Math.max(0, ...state.onStone.map(({ launchedAt, offAfter }) => launchedAt + offAfter - t));
  return stoneFrom(under, state.onStone.length > 0 ? bake(under, now, left) : now);
}
