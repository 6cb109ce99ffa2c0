import type { EngineState } from '../engine-state.ts';
import type { Hypothesis } from '../heat/hypotheses.ts';

/**
 * How probable it is that hands put a pizza on a stone that nobody measures, or took it off: at an opening of the lid that was
 * seen, and at any moment where none was, since not every opening shows in the dome. Our choice throughout, from people's
 * habits. Times s, temperatures °C.
 */

/** A stone is about right for a pizza from so far below its band to so far above it; nobody launches beyond the wider limits. */
const RIGHT_WITHIN_CELSIUS = 8;
const LAUNCHABLE_WITHIN_CELSIUS = { below: 25, above: 40 };
/** The lid is opened for a pizza: on a stone that was called ready, that is right, roughly right; by people who tap launches. */
export const LID_LAUNCH_PROBABILITY = { ready: 0.8, right: 0.6, roughly: 0.5, tapping: 0.3 };
/** Launches a second of people who bake, on a stone that is right, roughly right; share of them that taps nothing of it. */
export const UNSEEN_LAUNCH_RATE = { right: 1 / 500, roughly: 1 / 900, tapping: 0.1, missed: 0.25 };
/**
 * From this share of the time to off on, an opening is rather the off than the turn; sooner once it was turned. Spread, s. On
 * 122 cooks of the half to tune on, looked at every 5 min, `share` 0.7 finds two in a hundred more than 0.62, as does 0.74.
 */
export const LID_OFF_TIME = { share: 0.7, turned: 0.45, spread: 35 };
/** Unseen, a pizza comes off at about this share of that time; then within so long, s. */
const UNSEEN_OFF_TIME = { share: 0.9, spread: 35, within: 80 };

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

type Fit = 'right' | 'roughly' | 'no';

function fitOf({ targets: { stone } }: EngineState, { heat: { surface } }: Hypothesis): Fit {
  const [low, high] = stone;
  if (surface > low - RIGHT_WITHIN_CELSIUS && surface < high + RIGHT_WITHIN_CELSIUS) return 'right';
  return surface > low - LAUNCHABLE_WITHIN_CELSIUS.below && surface < high + LAUNCHABLE_WITHIN_CELSIUS.above
    ? 'roughly'
    : 'no';
}

const isTapping = ({ cook }: EngineState): boolean => cook.bakes.length > 0;

/** The lid was opened at `openedAt`: for a pizza that goes on, or for the off of the one that is there? */
export function seenOdds(state: EngineState, openedAt: number): (hypothesis: Hypothesis) => number {
  return (hypothesis) => {
    if (hypothesis.launchedAt === null) {
      const fit = fitOf(state, hypothesis);
      if (fit === 'no') return 0;
      if (isTapping(state)) return LID_LAUNCH_PROBABILITY.tapping;
      const wasCalled = state.stone.state === 'ready' || state.offAt !== null;
      return LID_LAUNCH_PROBABILITY[fit === 'right' && wasCalled ? 'ready' : fit];
    }
    const isTurned = hypothesis.turnedAt !== null && openedAt - hypothesis.turnedAt > 60;
    const age = openedAt - hypothesis.launchedAt;
    return logistic(
      (age - (isTurned ? LID_OFF_TIME.turned : LID_OFF_TIME.share) * state.bake.offAfter) /
        LID_OFF_TIME.spread,
    );
  };
}

/**
 * Share of the openings of the lid for an off that do not show, by how far the dome fell in those that did, °C: half where
 * it hardly falls (our choice).
 */
const MISSED_OFF_SHARE = { floor: 0.05, from: 10, over: 15 };
const missedOf = (drop: number | null): number =>
  drop === null
    ? UNSEEN_LAUNCH_RATE.missed
    : Math.max(
        MISSED_OFF_SHARE.floor,
        Math.min(0.5, 0.5 * Math.exp((MISSED_OFF_SHARE.from - drop) / MISSED_OFF_SHARE.over)),
      );

/**
 * Share of the openings for a launch that do not show: before any showed, where those that did had the dome fall by less
 * than `plain`, °C, and by more. On 122 cooks of the half to tune on, looked at every 5 min, what lies on the stone is known
 * to 0.192 by the logarithmic score instead of 0.201 with 0.25 throughout, and false calls are 0.17 an hour instead of 0.20.
 */
export const HIDDEN_LAUNCH_SHARE = { before: 0.5, faint: 0.6, plain: 14 };
function hiddenOf(drop: number | null): number {
  if (drop === null) return HIDDEN_LAUNCH_SHARE.before;
  return drop < HIDDEN_LAUNCH_SHARE.plain ? HIDDEN_LAUNCH_SHARE.faint : UNSEEN_LAUNCH_RATE.missed;
}

/** The same of `seconds` in which no lid was seen. @param isLidSeen whether it would be, as a rule */
export function unseenOdds(
  state: EngineState,
  t: number,
  seconds: number,
  isLidSeen: boolean,
): (hypothesis: Hypothesis) => number {
  const missed = isLidSeen ? hiddenOf(state.lid.usualDrop) : 1;
  const missedOff = isLidSeen ? missedOf(state.lid.usualDrop) : 1;
  return (hypothesis) => {
    if (hypothesis.launchedAt === null) {
      const fit = fitOf(state, hypothesis);
      if (fit === 'no') return 0;
      return missed * seconds * UNSEEN_LAUNCH_RATE[fit] * (isTapping(state) ? UNSEEN_LAUNCH_RATE.tapping : 1);
    }
    const late = t - hypothesis.launchedAt - UNSEEN_OFF_TIME.share * state.bake.offAfter;
    return (missedOff * seconds * logistic(late / UNSEEN_OFF_TIME.spread)) / UNSEEN_OFF_TIME.within;
  };
}
