import type { Band, GrillLesson, GrillPrior } from '../../shared/engine.ts';
import { habitOf, habitValues, habitWith, type Habit } from './forecast/habit.ts';
import { atOnce, type InPieces } from '../../shared/work/in-pieces.ts';
import { fitting, type Fit } from './heat/grill-fit.ts';
import { LEARNING_FLAG, PIZZA_FLAG, STEP_SECONDS, type History, type Look } from './heat/heat-history.ts';
import { cholesky } from './heat/linear.ts';
import { ANY_GRILL, PARAMETER_COUNT, USUAL_GRILL, thetaOf, type Belief } from './heat/parameters.ts';
import { isOfAnother, type Tracker } from './heat/tracker.ts';

/**
 * What earlier cooks taught of this grill: mean and covariance of the heat model's parameters θ. Each cook starts from what the
 * ones before left, loosened by what differs from day to day (coal, wind, where things stand), and leaves its posterior.
 * A prior of another version of the model is not read.
 */
export const MODEL_VERSION = 2;

/**
 * `daily`: what may differ between two cooks of one grill, as a share of what differs between grills. `variance`: of a look
 * when a whole warm-up is fitted, °C²: mostly what the model does not know, which is the same from look to look, so that a
 * cook teaches as much as a few looks would. By `npm run bench:engine -- --tune learns --count 6` the mean error is 336 s as
 * they are, 342 and 345 s with 8 and 25 °C², 336 s with 0.4 of what differs: flat; but then another grill passes
 * as this one.
 */
export const LEARNING_VARIANCE = { daily: 0.25, variance: 2 };

const meanName = (i: number): string => `m${i}`;
const rootName = (i: number, j: number): string => `r${i}.${j}`;

/** @returns null where nothing was taught, or of another version, or it is damaged */
export function beliefOf(prior: GrillPrior | null): Belief | null {
  if (prior?.version !== MODEL_VERSION) return null;
  const number = (name: string): number => prior.values[name] ?? NaN;
  const mean = Array.from({ length: PARAMETER_COUNT }, (_, i) => number(meanName(i)));
  const root = mean.map((_, i) => Array.from({ length: i + 1 }, (__, j) => number(rootName(i, j))));
  return [...mean, ...root.flat()].every(Number.isFinite) ? { mean, root } : null;
}

/** θ = μ + L·z: covariance L·(Σ roots)·Lᵀ, and what another day may bring. */
function taught(belief: Belief, { z, roots }: Fit): Belief {
  const directions = roots.map((root) => along(belief, root));
  const covariance = belief.mean.map((_, i) =>
    belief.mean.map((__, j) => {
      let sum = i === j ? (LEARNING_VARIANCE.daily * spreadOf(i)) ** 2 : 0;
      for (const direction of directions) sum += (direction[i] ?? 0) * (direction[j] ?? 0);
      return sum;
    }),
  );
  return { mean: thetaOf(belief, z), root: cholesky(covariance) };
}

/** L·z. */
const along = ({ root }: Belief, z: readonly number[]): number[] =>
  thetaOf({ mean: root.map(() => 0), root }, z);

/** Standard deviation of θ_i between grills. */
const spreadOf = (i: number): number => Math.hypot(...(USUAL_GRILL.root[i] ?? []));

/** A look every 2 min tells the whole course; closer ones mostly tell each other's noise. Steps. */
const THINNING_STEPS = 12;
/** What a cook must have shown to teach, in looks and in °C. */
const MIN_LOOKS = 4;
const MIN_WARM_CELSIUS = 150;
const MAX_ROUNDS = 15;

/** The warm-up, to the first pizza: what comes after is more of hands than of the grill. */
function warmUpOf({ dome, hands, looks, ...rest }: History): History {
  const covered = hands.findIndex((h) => (h & PIZZA_FLAG) !== 0);
  const end = covered < 0 ? dome.length : covered;
  const thinned: Look[] = [];
  for (const look of looks) {
    const last = thinned.at(-1);
    if (look.slot < end && (!last || look.slot - last.slot >= THINNING_STEPS))
      thinned.push({ ...look, variance: Math.max(LEARNING_VARIANCE.variance, look.variance) });
  }
  return {
    ...rest,
    dome: dome.slice(0, end),
    hands: hands.slice(0, end).map((h) => h | LEARNING_FLAG),
    looks: thinned,
  };
}

/** What a cook teaches: `prior` with the cooks before it, or of itself alone where it `fits` them not. */
type Lesson = Pick<GrillLesson, 'prior' | 'fits'>;

/** A cold grill, °C, as it was before it was lit, and how long its stone took from there to `low`, min. */
export function warmUpFigures(
  { history, origin }: Tracker,
  low: number,
): Pick<GrillLesson, 'outside' | 'minutes'> {
  const isCold = history !== null && origin !== null && history.start.surface === history.ground;
  if (!isCold) return { outside: null, minutes: null };
  const entered = history.looks.find(({ celsius }) => celsius >= low);
  return {
    outside: history.ground,
    minutes: entered ? (origin + (entered.slot + 1) * STEP_SECONDS) / 60 : null,
  };
}

/**
 * Folds a cook into what earlier ones taught, in pieces. It fits them not where any grill explains its warm-up so much better
 * than this one: another stone lay there, or a probe was moved.
 * @returns null where it showed too little
 */
export function* lesson(prior: GrillPrior | null, tracker: Tracker, band: Band): InPieces<Lesson | null> {
  const { history } = tracker;
  if (!history) return null;
  const warmUp = warmUpOf(history);
  const isWarm = warmUp.looks.some(({ celsius }) => celsius > MIN_WARM_CELSIUS);
  if (!isWarm || warmUp.looks.length < MIN_LOOKS) return null;
  const nothing = ANY_GRILL.mean.map(() => 0);
  const before = beliefOf(prior);
  if (before && (yield* isForeignTo(before, tracker, warmUp))) {
    const alone = yield* fitting(warmUp, USUAL_GRILL, nothing, MAX_ROUNDS);
    const habit = habitWith(habitOf(null), history, band);
    return { prior: priorOf(taught(USUAL_GRILL, alone), habit, 1), fits: false };
  }
  const belief = before ?? USUAL_GRILL;
  const found = yield* fitting(warmUp, belief, nothing, MAX_ROUNDS);
  const cooks = before ? (prior?.cooks ?? 0) : 0;
  const habit = habitWith(habitOf(before && prior), history, band);
  return { prior: priorOf(taught(belief, found), habit, cooks + 1), fits: true };
}

/** A cook that began with what was taught has been held against it while it went on; another, as an import, is now. */
function* isForeignTo(
  before: Belief,
  { isTaught, isForeign, low }: Tracker,
  warmUp: History,
): InPieces<boolean> {
  return isTaught || isForeign ? isForeign : yield* isOfAnother(warmUp, before, low);
}

/** All at once. @returns null also where it does not fit */
export function learn(prior: GrillPrior | null, tracker: Tracker, band: Band): GrillPrior | null {
  const found = atOnce(lesson(prior, tracker, band));
  return found?.fits ? found.prior : null;
}

function priorOf({ mean, root }: Belief, habit: Habit, cooks: number): GrillPrior {
  const values = habitValues(habit);
  mean.forEach((value, i) => (values[meanName(i)] = value));
  root.forEach((row, i) => row.forEach((value, j) => (values[rootName(i, j)] = value)));
  return { version: MODEL_VERSION, cooks, values };
}
