import { MAX_LOOKS } from '../estimate/channel.ts';
import { atOnce, type InPieces } from '../../../shared/work/in-pieces.ts';
import { driveOf, fit, fitting, stepOn, track, type Tracked } from './grill-fit.ts';
import {
  LEARNING_FLAG,
  freshHistory,
  LID_FLAG,
  PIZZA_FLAG,
  ROUGH_DOME_FLAG,
  STEP_SECONDS,
  TWO_MINUTES,
  type History,
} from './heat-history.ts';
import { loosen, update } from './kalman.ts';
import { parametersOf, PARAMETER_COUNT, thetaOf, zOf, ANY_GRILL, type Belief } from './parameters.ts';
import type { Parameters as Grill } from './model.ts';
import type { Hypothesis } from './hypotheses.ts';

/**
 * Follows the stone of one cook by the heat model: the first member by what is most likely, the others each one
 * standard deviation off in one direction of what the parameters may be, so that their differences carry that doubt.
 * Plain JSON.
 */
export type Member = Tracked & { p: Grill };

export type Tracker = {
  belief: Belief;
  /** Time of the first step's start; null before a dome was seen. */
  origin: number | null;
  history: History | null;
  /** Steps taken since. */
  steps: number;
  z: number[];
  members: Member[];
  /** What the surface moved by itself in each of the last 12 steps, °C: corrections by looks are not motion. */
  moves: number[];
  /** Directions in z that the members stand for: one standard deviation each. */
  roots: number[][];
  /** Where nobody measures the stone: the hypotheses of what happened since `hypothesesSince`, s. */
  hypotheses: Hypothesis[];
  hypothesesSince: number;
  /** Squares of the normalised errors of looks, the latest weighing most, and their weight. */
  surprise: { sum: number; count: number };
  /** The step at which the parameters were last fitted. */
  fittedAt: number;
  /** A look so far off that it is asked about before it is believed, and when the last believed one was, s. */
  doubt: { t: number; celsius: number; expected: number; before: number | null } | null;
  /** Earlier cooks taught what is believed. */
  isTaught: boolean;
  /** Where the stone's band starts, °C. */
  low: number;
  /** What earlier cooks taught did not fit this one: another grill or stone, a probe moved. It was dropped. */
  isForeign: boolean;
};

/** What comes later than this is followed but neither kept nor fitted: what the grill is, is known by then. Steps. */
const MAX_STEPS = 1500;
const FIT_ROUNDS = 3;
const ROUNDS_OF_ANY = 8;

const unit = (j: number): number[] => Array.from({ length: PARAMETER_COUNT }, (_, i) => (i === j ? 1 : 0));

/** @param low where the stone's band starts, °C */
export const freshTracker = (belief: Belief | null, low: number): Tracker => ({
  low,
  belief: belief ?? ANY_GRILL,
  isTaught: belief !== null,
  isForeign: false,
  roots: Array.from({ length: PARAMETER_COUNT }, (_, j) => unit(j)),
  doubt: null,
  origin: null,
  history: null,
  steps: 0,
  z: Array.from({ length: PARAMETER_COUNT }, () => 0),
  members: [],
  moves: [],
  hypotheses: [],
  hypothesesSince: 0,
  surprise: { sum: 0, count: 0 },
  fittedAt: 0,
});

/** The cook begins with its first reading of the dome, or anew where that was no beginning. */
export function begin(tracker: Tracker, t: number, dome: number): void {
  tracker.origin = t;
  tracker.steps = 0;
  tracker.fittedAt = 0;
  tracker.hypotheses = [];
  tracker.history = freshHistory(dome);
  retrack(tracker);
}

/** Takes the way again from the start, all members. */
export function retrack(tracker: Tracker): void {
  const { history, roots } = tracker;
  if (!history || tracker.steps > MAX_STEPS) return;
  const at = (z: readonly number[], course: Parameters<typeof track>[3] = null): Member => {
    const theta = thetaOf(tracker.belief, z);
    const { heat, P } = track(history, theta, null, course);
    return { heat, P, p: parametersOf(theta) };
  };
  const course = { moves: [], corrected: 0 };
  const most = at(tracker.z, course);
  tracker.moves = lately(history, course);
  tracker.members = [most, ...roots.map((root) => at(tracker.z.map((v, i) => v + (root[i] ?? 0))))];
}

/**
 * What a look corrects has come about since the look before: it goes into what the surface is taken to have moved since
 * then, which counts for no shorter a time than so many steps, by so much of it.
 */
export const CORRECTION_SPREAD = { share: 0.8, least: 12 };

/** Better known than this at the start, one standard error, °C, a stone was cold then. */
const COLD_WITHIN = 10;

function lately(
  { looks, startError }: History,
  { moves, corrected }: { moves: number[]; corrected: number },
): number[] {
  const [before, last] = [looks.at(-2), looks.at(-1)];
  // The first look at a stone that was warm at the start says where that was, not how it moved.
  if (!before && startError > COLD_WITHIN) return moves.slice(-TWO_MINUTES);
  const since = moves.length - 1 - (last?.slot ?? 0);
  const each =
    (CORRECTION_SPREAD.share * corrected) /
    Math.max(CORRECTION_SPREAD.least, (last?.slot ?? 0) - (before?.slot ?? 0));
  return moves.slice(-TWO_MINUTES).map((move, i, all) => (all.length - 1 - i >= since ? move + each : move));
}

/** The step that is under way at `t`. */
export const slotAt = ({ origin }: Tracker, t: number): number =>
  origin === null ? -1 : Math.floor((t - origin) / STEP_SECONDS);

/** Number of steps taken. */
export const stepCount = ({ steps }: Tracker): number => steps;

export const handsOf = (isOpen: boolean, isCovered: boolean, isRough: boolean): number =>
  (isOpen ? LID_FLAG : 0) + (isCovered ? PIZZA_FLAG : 0) + (isRough ? ROUGH_DOME_FLAG : 0);

/** One step on, under a dome of `dome` °C. */
export function stepTracker(tracker: Tracker, dome: number, hands: number): void {
  const { history, members, moves } = tracker;
  if (!history) return;
  tracker.steps += 1;
  if (tracker.steps <= MAX_STEPS) {
    history.dome.push(dome);
    history.hands.push(hands);
  }
  const before = members[0]?.heat.surface ?? 0;
  const drive = driveOf(dome, hands, history.ground);
  for (const member of members) stepOn(member, member.p, drive, hands);
  moves.push((members[0]?.heat.surface ?? 0) - before);
  if (moves.length > TWO_MINUTES) moves.shift();
}

/** Looks of one step that are kept and fitted: nobody takes more in 10 s. */
const MAX_LOOKS_OF_STEP = 3;

/**
 * A value of the surface at the end of the last step. Each member is corrected by its own gain.
 * @param leap variance that the stone gets before, where it must have leapt for a reason not known
 */
export function correct(tracker: Tracker, celsius: number, variance: number, leap = 0): void {
  const { history, members } = tracker;
  if (!history || members.length === 0) return;
  const slot = tracker.steps - 1;
  if (tracker.steps <= MAX_STEPS && history.looks.at(-MAX_LOOKS_OF_STEP)?.slot !== slot)
    history.looks.push({ slot, celsius, variance, leap });
  for (const { heat, P } of members) {
    loosen(P, leap);
    update(heat, P, celsius, variance);
  }
}

/**
 * What was taught is held against any grill every so many steps from a quarter of an hour on, up to an hour, until the stone
 * has come to its band or a pizza lies on it: hotter, the model errs by more. Nine of ten cooks are of the grill that was
 * lit before; if the looks make it less likely than not (2·ln 9), all that either believes possible weighed, another was.
 * What the model does not know is taken for small, else it would stand for the other grill, and looks for as far off, °C².
 * Over 12 grills of the half to tune on (bench:engine --learn) what the same grill taught is dropped in 4 of 36 cooks,
 * another's in 15 of 33; with what is not known as usual, 0 and 7. The rest is as good as alike.
 */
const COMPARED_STEPS = { every: 30, from: 90, to: 360, variance: 6 };
const WORSE_LOG_LIKELIHOOD = 4.4;

function asCompared(history: History, low: number): History {
  const warm = history.looks.find(({ celsius }) => celsius > low);
  const end = Math.min(COMPARED_STEPS.to, warm?.slot ?? Infinity);
  return {
    ...history,
    dome: history.dome.slice(0, end),
    hands: history.hands.slice(0, end).map((h) => h | LEARNING_FLAG),
    looks: history.looks.map((look) => ({
      ...look,
      variance: Math.max(COMPARED_STEPS.variance, look.variance),
    })),
  };
}

/** Whether any grill makes a warm-up more likely than what was `taught`. @param low where the stone's band starts, °C */
export function* isOfAnother(whole: History, taught: Belief, low: number): InPieces<boolean> {
  const history = asCompared(whole, low);
  const nothing = taught.mean.map(() => 0);
  const found = yield* fitting(history, taught, nothing, ROUNDS_OF_ANY);
  // The search among all grills begins at what was found.
  const from = zOf(ANY_GRILL, thetaOf(taught, found.z));
  const any = yield* fitting(history, ANY_GRILL, from, ROUNDS_OF_ANY);
  return found.surprise - any.surprise > WORSE_LOG_LIKELIHOOD;
}

function isForeign({ belief, low }: Tracker, history: History): boolean {
  const steps = history.dome.length;
  const isAsked =
    steps >= COMPARED_STEPS.from && steps <= COMPARED_STEPS.to && steps % COMPARED_STEPS.every < 12;
  if (!isAsked || history.hands.some((h) => (h & PIZZA_FLAG) !== 0)) return false;
  if (history.looks.some(({ celsius }) => celsius > low)) return false;
  return atOnce(isOfAnother(history, belief, low));
}

/** Fits the parameters anew to all that was seen, and takes the way again from the start. */
export function refit(tracker: Tracker, rounds = FIT_ROUNDS): void {
  const { history, belief } = tracker;
  if (!history || tracker.steps > MAX_STEPS || history.looks.length === 0) return;
  const found = fit(history, belief, tracker.z, rounds);
  if (tracker.isTaught && isForeign(tracker, history)) {
    tracker.belief = ANY_GRILL;
    tracker.isTaught = false;
    tracker.isForeign = true;
    tracker.z = tracker.z.map(() => 0);
    refit(tracker);
    return;
  }
  tracker.z = found.z;
  tracker.roots = found.roots;
  tracker.fittedAt = tracker.steps;
  retrack(tracker);
}

/** A fit goes through the whole cook: after more looks than anybody takes, not each has one, but every so many steps. */
const FIT_MANY_EVERY = 6;

/** What a person read off is news for the parameters. @param looks of that place so far */
export function refitToLook(tracker: Tracker, looks: number): void {
  if (looks < MAX_LOOKS || tracker.steps - tracker.fittedAt >= FIT_MANY_EVERY) refit(tracker);
}

/** Variance of the surface: of the filter, and of the parameters, Σ(S_j − S_0)². */
export function varianceOf({ members }: Tracker): number {
  const [most] = members;
  if (!most) return Infinity;
  let sum = most.P.ss;
  for (const { heat } of members) sum += (heat.surface - most.heat.surface) ** 2;
  return sum;
}

/** Looks that weigh as much as what is believed before any. */
const PRIOR_LOOKS = 4;

/** What variances are to be taken by, as looks have shown so far. */
export const scaleOf = ({ surprise }: Tracker): number =>
  Math.max(0.8, (PRIOR_LOOKS + surprise.sum) / (PRIOR_LOOKS + surprise.count));
