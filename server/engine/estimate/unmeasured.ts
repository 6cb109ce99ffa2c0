import type { EngineState } from '../engine-state.ts';
import { lookedAt, sharedVariance } from '../heat/doubt.ts';
import { scaleOf } from '../heat/tracker.ts';
import { STEP_SECONDS, TWO_MINUTES } from '../heat/heat-history.ts';
import { bareHypothesis, freeBelow, likelyStone, total, type Hypothesis } from '../heat/hypotheses.ts';
import { normalCdf } from '../../../shared/statistics/normal.ts';

/** The stone that nobody measures: where it is, and how probable it is that it is ready. Times s, temperatures °C. */

/** A useful estimate is better than this, one standard error, °C. */
const USEFUL_ERROR_CELSIUS = 35;

/** Whoever is called takes so long to come and look, s. */
const ANSWER_SECONDS = 45;

export type StoneEstimate = {
  celsius: number;
  error: number;
  perMinute: number;
  change: number;
  /** How probable it is that the stone lies free in its band within `ANSWER_SECONDS`, and above it. */
  inside: number;
  over: number;
};

const hypothesesOf = ({ tracker }: EngineState): readonly Hypothesis[] => {
  const { members, moves, hypotheses } = tracker;
  const [most] = members;
  return hypotheses.length > 0 || !most ? hypotheses : [bareHypothesis(most, moves)];
};

/** The stone that nobody measures as it is most probably; null where nothing useful can be said. */
export function likelyOf(state: EngineState): ReturnType<typeof likelyStone> {
  const { members, origin, history, isTaught } = state.tracker;
  const isUnknown = !history || origin === null || (history.looks.length === 0 && !isTaught);
  return members.length === 0 || isUnknown ? null : likelyStone(hypothesesOf(state));
}

/** Estimate of the surface at `t`, °C, and its motion; null where nothing useful can be said. */
export function estimateOf(state: EngineState, t: number): StoneEstimate | null {
  const { tracker, targets } = state;
  const likely = likelyOf(state);
  if (!likely || tracker.origin === null) return null;
  const all = hypothesesOf(state);
  const shared = sharedVariance(tracker);
  const scale = scaleOf(tracker);
  const error = Math.sqrt(scale * (likely.P.ss + shared));
  if (!(error < USEFUL_ERROR_CELSIUS)) return null;
  const since = Math.max(0, Math.min(STEP_SECONDS, t - (tracker.origin + tracker.steps * STEP_SECONDS)));
  const moved = (likely.perMinute / 60) * since;
  const [low, high] = targets.stone;
  const soon = moved + (likely.perMinute / 60) * ANSWER_SECONDS;
  const belowHigh = freeBelow(all, high - soon, shared, scale);
  const free = freeBelow(all, Infinity, shared, scale);
  return {
    celsius: likely.heat.surface + moved,
    error,
    perMinute: likely.perMinute,
    // What a dome that is only read off does meanwhile, nobody knows.
    change: lookedAt(state, 'dome') ? likely.change : likely.around,
    inside: belowHigh - freeBelow(all, low - soon, shared, scale),
    over: free - belowHigh,
  };
}

/** What a ready stone may move in 2 min, °C, and one standard error of what it is taken to have moved: as a rule, and of one that is freed. */
type Motion = {
  within: number;
  settled: number;
  freed: number;
  isFreed: (hypothesis: Hypothesis) => boolean;
};

/** Variance of what all hypotheses share, °C²; scale of all variances; a dome that is only read off says nothing of the rate to come. */
type Doubt = { shared: number; scale: number; isDial: boolean };

/**
 * How probable it is that the stone lies free, in its band and steady; `settled`: that it climbs no faster than that, if it
 * lies free in its band.
 */
export type ReadyChance = { ready: number; settled: number };

/** Of the stone `ahead` s from now: each hypothesis by its own course. */
export function readyChance(
  hypotheses: readonly Hypothesis[],
  [low, high]: readonly [number, number],
  motion: Motion,
  { shared, scale, isDial }: Doubt,
  ahead: number,
): ReadyChance {
  let ready = 0;
  let settled = 0;
  let sum = 0;
  for (const hypothesis of hypotheses) {
    const { probability, launchedAt, heat, P, moves } = hypothesis;
    if (launchedAt !== null) continue;
    const last = moves.slice(-TWO_MINUTES / 2);
    const rate = total(last) / Math.max(1, last.length);
    const past = isDial ? moves : moves.slice(-TWO_MINUTES + ahead / STEP_SECONDS);
    const change = total(past) + (TWO_MINUTES - past.length) * rate;
    const celsius = heat.surface + (ahead / STEP_SECONDS) * rate;
    const error = Math.sqrt(scale * (P.ss + shared));
    const inside = normalCdf((high - celsius) / error) - normalCdf((low - celsius) / error);
    const doubt = motion.isFreed(hypothesis) ? motion.freed : motion.settled;
    const rising = normalCdf((change - motion.within) / doubt);
    const falling = normalCdf((-motion.within - change) / doubt);
    sum += probability * inside;
    settled += probability * inside * (1 - rising);
    ready += probability * inside * (1 - rising - falling);
  }
  return { ready, settled: sum > 0 ? settled / sum : 0 };
}

/**
 * Seconds ahead of which a call looks: a dome that is measured shows what the stone does; by one that is only read off a
 * stone is known to be ready when it has long been so.
 */
const CALL_AHEAD_SECONDS = { measured: 0, dial: 40 };

/** How probable it is that the stone is ready. @param motion what it may move, and how far that may be off */
export function readyChanceOf(
  state: EngineState,
  motion: Omit<Motion, 'isFreed'> & { freedFor: number },
): ReadyChance {
  const { tracker, targets, offAt, evaluatedAt: t } = state;
  const isDial = lookedAt(state, 'dome') !== null;
  const isFreed = ({ spells }: Hypothesis): boolean =>
    t - Math.max(spells.at(-1)?.to ?? -Infinity, offAt ?? -Infinity) < motion.freedFor;
  const doubt = { shared: sharedVariance(tracker), scale: scaleOf(tracker), isDial };
  const ahead = isDial ? CALL_AHEAD_SECONDS.dial : CALL_AHEAD_SECONDS.measured;
  return readyChance(hypothesesOf(state), targets.stone, { ...motion, isFreed }, doubt, ahead);
}
