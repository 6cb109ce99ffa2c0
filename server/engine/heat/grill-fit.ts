import { atOnce, type InPieces } from '../../../shared/work/in-pieces.ts';
import {
  LEARNING_FLAG,
  STEP_SECONDS,
  LID_FLAG,
  PIZZA_FLAG,
  ROUGH_DOME_FLAG,
  type History,
} from './heat-history.ts';
import { loosen, predict, update, type Covariance, type Noise } from './kalman.ts';
import { cholesky, dot, rootsOfInverse, solve, sumOfSquares } from './linear.ts';
import {
  advance,
  copyOfHeat,
  couplingOf,
  DISTURBANCE_TAU_SECONDS,
  type Drive,
  type Heat,
  type Parameters,
} from './model.ts';
import { parametersOf, PARAMETER_COUNT, thetaOf, type Belief } from './parameters.ts';

/** Estimate of the state and its covariance. */
export type Tracked = { heat: Heat; P: Covariance };

/**
 * What a second adds to the variance of surface and bulk, °C², and of the disturbance, (°C/s)²: with `DISTURBANCE_TAU_SECONDS` and the
 * width of `ANY_GRILL` by the likelihood of the stone minute by minute, looked at every 5 min with the pizzas known, over 36
 * grills of the half to tune on: −log 1.55 instead of 1.65 and nine of ten errors within 6.0 instead of 7.8 °C by what
 * was most likely on the project's own bank, whose grills resemble each other.
 */
const DISTURBANCE_VARIANCE = 2e-6;
const QUIET_NOISE: Noise = { s: 0.002, b: 0.004, d: DISTURBANCE_VARIANCE };
/** Under a dome that is only read off now and then. */
const ROUGH_NOISE: Noise = { s: 0.02, b: 0.01, d: 4 * DISTURBANCE_VARIANCE };
/**
 * A whole warm-up is fitted: what the model does not know is the same all through it. Over 12 grills of the half to tune on, of
 * four cooks each, the stone 20 min ahead under a dome that is known is off by 4.6 °C (dome steady) and 8.9 °C on the
 * mean with a tenth of the disturbance, 4.9 and 9.1 with a hundredth, 4.8 and 8.6 with a third; alone by 17 and 16.
 */
const LEARNING_NOISE: Noise = { s: 0.002, b: 0.0005, d: DISTURBANCE_VARIANCE / 10 };
const LID_NOISE: Noise = { s: 0.3, b: 0.0005, d: DISTURBANCE_VARIANCE };
const COVERED_NOISE: Noise = { s: 0.33, b: 0.1, d: DISTURBANCE_VARIANCE };

function noiseOf(hands: number): Noise {
  if ((hands & PIZZA_FLAG) !== 0) return COVERED_NOISE;
  if ((hands & LEARNING_FLAG) !== 0) return LEARNING_NOISE;
  if ((hands & ROUGH_DOME_FLAG) !== 0) return ROUGH_NOISE;
  return (hands & LID_FLAG) === 0 ? QUIET_NOISE : LID_NOISE;
}

/** Surface and bulk of a stone whose warmth nobody knows are warm alike: they differ by so much, one standard error, °C. */
const SURFACE_BULK_CELSIUS = 15;

export const startOf = ({ start, startError }: History): Tracked => {
  const variance = startError ** 2;
  const shared = Math.max(0.9 * variance, variance - SURFACE_BULK_CELSIUS ** 2 / 2);
  return {
    heat: copyOfHeat(start),
    P: { ss: variance, sb: shared, sd: 0, bb: variance, bd: 0, dd: 1e-6 },
  };
};

const EXTRA_DECAY = Math.exp(-STEP_SECONDS / DISTURBANCE_TAU_SECONDS);

export const driveOf = (dome: number, hands: number, ground: number): Drive => ({
  dome,
  ground,
  isOpen: (hands & LID_FLAG) !== 0,
  isCovered: (hands & PIZZA_FLAG) !== 0,
});

/** One step of the model alone, in place. */
export const stepHeat = (heat: Heat, p: Parameters, drive: Drive): void =>
  advance(heat, p, drive, STEP_SECONDS, EXTRA_DECAY);

/** One step of model and covariance, in place. @param hands what is so during the step */
export function stepOn({ heat, P }: Tracked, p: Parameters, drive: Drive, hands: number): void {
  predict(P, couplingOf(heat, p, drive, STEP_SECONDS, EXTRA_DECAY), noiseOf(hands), STEP_SECONDS);
  stepHeat(heat, p, drive);
}

/**
 * Runs the filter over a history. @param errors takes each look's normalised error of prediction, in order
 * @param course takes what the surface moved in each step, and by how much the last look corrected it, °C
 */
export function track(
  history: History,
  theta: readonly number[],
  errors: number[] | null,
  course: { moves: number[]; corrected: number } | null = null,
): Tracked {
  const p = parametersOf(theta);
  const tracked = startOf(history);
  const { dome, hands, looks, ground } = history;
  let next = 0;
  for (let i = 0; i < dome.length; i++) {
    const h = hands[i] ?? 0;
    const before = tracked.heat.surface;
    stepOn(tracked, p, driveOf(dome[i] ?? ground, h, ground), h);
    const moved = tracked.heat.surface;
    course?.moves.push(moved - before);
    for (let look = looks[next]; look && look.slot <= i; look = looks[++next]) {
      loosen(tracked.P, look.leap);
      const error = update(tracked.heat, tracked.P, look.celsius, look.variance);
      errors?.push(error);
      if (course) course.corrected = tracked.heat.surface - moved;
    }
  }
  return tracked;
}

/** Errors beyond this many standard ones count by their size, not its square (Huber's loss). */
const HUBER_STANDARD_ERRORS = 2.5;
const tamed = (e: number): number =>
  Math.abs(e) <= HUBER_STANDARD_ERRORS
    ? e
    : Math.sign(e) * Math.sqrt(2 * HUBER_STANDARD_ERRORS * Math.abs(e) - HUBER_STANDARD_ERRORS ** 2);

function errorsOf(history: History, belief: Belief, z: readonly number[]): number[] {
  const errors: number[] = [];
  track(history, thetaOf(belief, z), errors);
  for (let i = 0; i < errors.length; i++) errors[i] = tamed(errors[i] ?? 0);
  return errors;
}

/**
 * z, and vectors whose outer products sum up to its covariance; `surprise`: −2 ln of how probable the looks were before, all
 * that was believed possible weighed (Laplace's approximation), but for a constant of the looks.
 */
export type Fit = { z: number[]; roots: number[][]; surprise: number };

/** Step of the differences by which the slopes of the errors are found, in standard deviations of what was believed. */
const DIFFERENCE_STEP = 0.1;
/** Nothing is farther from what was believed, in standard deviations. */
const MAX_STANDARD_DEVIATIONS = 4;

function* slopesOf(
  history: History,
  belief: Belief,
  z: readonly number[],
  errors: readonly number[],
): InPieces<number[][]> {
  const slopes: number[][] = [];
  for (let j = 0; j < PARAMETER_COUNT; j++) {
    const moved = errorsOf(history, belief, z.with(j, (z[j] ?? 0) + DIFFERENCE_STEP));
    slopes.push(moved.map((e, i) => (e - (errors[i] ?? 0)) / DIFFERENCE_STEP));
    yield;
  }
  return slopes;
}

/**
 * The most likely z given the looks, z ~ N(0, I) beforehand: θ = μ + L·z minimises Σν²/s + zᵀz over the errors of prediction
 * (Madsen & Holst 1995), by Gauss–Newton steps damped after Levenberg and Marquardt.
 */
export function* fitting(
  history: History,
  belief: Belief,
  from: readonly number[],
  rounds: number,
): InPieces<Fit> {
  let z = [...from];
  let errors = errorsOf(history, belief, z);
  let cost = sumOfSquares(errors) + sumOfSquares(z);
  let damping = 0.01;
  let slopes = yield* slopesOf(history, belief, z, errors);
  for (let round = 1; round < rounds && damping < 100; round++) {
    const gradient = slopes.map((slope, i) => dot(slope, errors) + (z[i] ?? 0));
    const step = solve(cholesky(curvature(slopes, damping)), gradient);
    const tried = z.map((v, i) =>
      Math.max(-MAX_STANDARD_DEVIATIONS, Math.min(MAX_STANDARD_DEVIATIONS, v - (step[i] ?? 0))),
    );
    const itsErrors = errorsOf(history, belief, tried);
    yield;
    const gain = cost - sumOfSquares(itsErrors) - sumOfSquares(tried);
    damping = gain > 0 ? damping / 10 : damping * 10;
    if (!(gain > 0)) continue;
    z = tried;
    errors = itsErrors;
    cost -= gain;
    slopes = yield* slopesOf(history, belief, z, errors);
    if (gain < 0.05) break;
  }
  const G = cholesky(curvature(slopes, 0));
  return { z, surprise: cost + 2 * logOfDiagonal(G), roots: rootsOfInverse(G) };
}

export const fit = (history: History, belief: Belief, from: readonly number[], rounds: number): Fit =>
  atOnce(fitting(history, belief, from, rounds));

const logOfDiagonal = (G: readonly (readonly number[])[]): number =>
  G.reduce((sum, row, i) => sum + Math.log(row[i] ?? 1), 0);

/** JᵀJ + I, its diagonal raised by `damping`. */
const curvature = (slopes: readonly (readonly number[])[], damping: number): number[][] =>
  slopes.map((x, i) => slopes.map((y, j) => (i === j ? (1 + dot(x, y)) * (1 + damping) : dot(x, y))));
