import type { Band, GrillKnown, GrillPrior, Known } from '../../shared/engine.ts';
import { habitOf, holdsOf } from './forecast/habit.ts';
import { beliefOf } from './grill-prior.ts';
import type { InPieces } from '../../shared/work/in-pieces.ts';
import { driveOf, stepHeat } from './heat/grill-fit.ts';
import { even, STEP_SECONDS } from './heat/heat-history.ts';
import type { Heat, Parameters } from './heat/model.ts';
import { parametersOf, PARAMETER_COUNT, thetaOf } from './heat/parameters.ts';

/** A fire that is lit has the dome about at the band in so long, min, and is held there (common practice, no source). */
const DOME_MINUTES = 20;
/** Not within so long, min. */
const NEVER_MINUTES = 240;
/** A dome falls by this share of what it is over 150 °C each minute once the vents are shut (own estimate). */
const DOME_FALL_PER_MINUTE = 1 / 25;
const DOME_FLOOR_CELSIUS = 150;
const CLIMBING_PER_MINUTE = 3;
export const MILD_DAY_CELSIUS = 20;

type DomeAt = (minutes: number) => number;

/** Runs the stone under a dome until `until` is so. @returns minutes, between steps, at most NEVER_MINUTES */
function minutesUntil(
  p: Parameters,
  from: Heat,
  [ground, dome]: readonly [number, DomeAt],
  until: (heat: Heat, before: number) => boolean,
): number {
  const heat = { ...from };
  for (let i = 0; i < (NEVER_MINUTES * 60) / STEP_SECONDS; i++) {
    const before = heat.surface;
    stepHeat(heat, p, driveOf(dome((i * STEP_SECONDS) / 60), 0, ground));
    if (until(heat, before)) return ((i + 1) * STEP_SECONDS) / 60;
  }
  return NEVER_MINUTES;
}

/** The heat of a stone that lies long under a dome that is held. */
export function settled(p: Parameters, dome: number): Heat {
  const heat = even(dome);
  for (let i = 0; i < (NEVER_MINUTES * 60) / STEP_SECONDS; i++)
    stepHeat(heat, p, driveOf(dome, 0, MILD_DAY_CELSIUS));
  return heat;
}

function readyAfter(p: Parameters, [low, high]: Band): number {
  const held = (low + high) / 2;
  const dome: DomeAt = (m) => MILD_DAY_CELSIUS + (held - MILD_DAY_CELSIUS) * Math.min(1, m / DOME_MINUTES);
  return minutesUntil(p, even(MILD_DAY_CELSIUS), [MILD_DAY_CELSIUS, dome], ({ surface }) => surface >= low);
}

const STEP_UP = 10;

function lagOf(p: Parameters, middle: number): number {
  const from = settled(p, middle);
  const to = settled(p, middle + STEP_UP).surface;
  const reached = from.surface + (1 - Math.exp(-1)) * (to - from.surface);
  return minutesUntil(
    p,
    from,
    [MILD_DAY_CELSIUS, () => middle + STEP_UP],
    ({ surface }) => surface >= reached,
  );
}

/** The dome that has the stone climb through `low` at so many °C/min is what it settles under and as much over as that takes. */
function bitesAfter(p: Parameters, [low]: Band): number {
  const lag = Math.max(1, lagOf(p, low));
  const heat = settled(p, low);
  const top = low + CLIMBING_PER_MINUTE * lag;
  const dome: DomeAt = (m) =>
    DOME_FLOOR_CELSIUS + (top - DOME_FLOOR_CELSIUS) * Math.exp(-DOME_FALL_PER_MINUTE * m);
  return minutesUntil(p, heat, [MILD_DAY_CELSIUS, dome], ({ surface }, before) => surface <= before);
}

/**
 * What a prior says in minutes and °C, each with the standard error that its spread leaves: the differences made by one
 * standard deviation in each direction, summed as squares. In pieces of a few milliseconds.
 * @returns null where nothing was taught
 */
export function* knownOf(prior: GrillPrior | null, band: Band): InPieces<GrillKnown | null> {
  const belief = beliefOf(prior);
  if (!belief || !prior) return null;
  const zs = Array.from({ length: PARAMETER_COUNT + 1 }, (_, j) =>
    belief.mean.map((__, i) => (i === j - 1 ? 1 : 0)),
  );
  const ps = zs.map((z) => parametersOf(thetaOf(belief, z)));
  function* of(figure: (p: Parameters) => number): InPieces<Known> {
    const found: number[] = [];
    for (const p of ps) {
      found.push(figure(p));
      yield;
    }
    const [value = 0, ...others] = found;
    return { value, error: Math.hypot(...others.map((other) => other - value)) };
  }
  const middle = (band[0] + band[1]) / 2;
  return {
    cooks: prior.cooks,
    domeMinutes: DOME_MINUTES,
    ready: yield* of((p) => readyAfter(p, band)),
    lag: yield* of((p) => lagOf(p, middle)),
    offset: yield* of((p) => settled(p, middle).surface - middle),
    bites: yield* of((p) => bitesAfter(p, band)),
    holds: holdsOf(habitOf(prior), band),
  };
}
