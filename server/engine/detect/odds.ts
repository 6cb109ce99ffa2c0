import type { EngineState } from '../engine-state.ts';
import { LAUNCH_LID, type Hypothesis, type Odds } from '../heat/hypotheses.ts';

/**
 * How probable it is that hands put a pizza on a stone that nobody measures, or took it off: at an opening of the lid that was
 * seen, and at any moment where none was, since not every opening shows in the dome. Our choice throughout, from people's
 * habits. Times s, temperatures °C.
 */

/** A stone is about right for a pizza from so far below its band to so far above it; nobody launches beyond the wider limits. */
const RIGHT_WITHIN_CELSIUS = 8;
const LAUNCHABLE_WITHIN_CELSIUS = { below: 25, above: 40 };
/**
 * Launches a second of people who bake, on a stone that was called ready and is right, right, roughly right; share of them that
 * taps nothing of it. Where nothing of a lid can be seen, nothing speaks against a launch that was none either: a stone that was
 * called ready is then a right one as any. On 60 cooks of the half to tune on, by a dial read every 5 min, 0.77 of the
 * readinesses are so called instead of 0.72, 0.25 false an hour instead of 0.26.
 */
export const LAUNCH_RATE = { ready: 1 / 330, right: 1 / 500, roughly: 1 / 900, tapping: 0.1 };
/** Openings of the lid a second for other things: a look, charcoal; over a pizza, to turn it. */
export const OTHER_LID_RATE = { bare: 1 / 1000, covered: 1 / 300 };
/**
 * From this share of the time to off on, an opening is rather the off than the turn; sooner once it was turned. Spread, s. On
 * 122 cooks of the half to tune on, looked at every 5 min, `share` 0.7 finds two in a hundred more than 0.62, as does 0.74.
 */
export const LID_OFF_TIME = { share: 0.7, turned: 0.45, spread: 35 };
/** A pizza comes off at about this share of that time; then within so long, s. */
const OFF_TIME = { share: 0.9, spread: 35, within: 80 };

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

type Fit = 'ready' | 'right' | 'roughly' | 'no';

function fitOf({ targets, stone: { state }, offAt }: EngineState, { heat: { surface } }: Hypothesis): Fit {
  const [low, high] = targets.stone;
  if (surface > low - RIGHT_WITHIN_CELSIUS && surface < high + RIGHT_WITHIN_CELSIUS)
    return state === 'ready' || offAt !== null ? 'ready' : 'right';
  return surface > low - LAUNCHABLE_WITHIN_CELSIUS.below && surface < high + LAUNCHABLE_WITHIN_CELSIUS.above
    ? 'roughly'
    : 'no';
}

const isTapping = ({ cook }: EngineState): boolean => cook.bakes.length > 0;

/** Openings of the lid a second: such that put a pizza on or take it off, and others. */
type LidRate = { changes: number; opens: number };

function rateOf(state: EngineState, hypothesis: Hypothesis, at: number, isSeen: boolean): LidRate {
  if (hypothesis.launchedAt === null) {
    const fit = fitOf(state, hypothesis);
    if (fit === 'no') return { changes: 0, opens: OTHER_LID_RATE.bare };
    const rate = LAUNCH_RATE[fit === 'ready' && !isSeen ? 'right' : fit];
    return { changes: isTapping(state) ? LAUNCH_RATE.tapping * rate : rate, opens: OTHER_LID_RATE.bare };
  }
  const age = at - hypothesis.launchedAt;
  if (age < LAUNCH_LID) return { changes: 0, opens: 0 };
  const { offAfter } = state.bake;
  const done = logistic((age - OFF_TIME.share * offAfter) / OFF_TIME.spread) / OFF_TIME.within;
  if (!isSeen) return { changes: done, opens: 0 };
  const all = OTHER_LID_RATE.covered + done;
  const isTurned = hypothesis.turnedAt !== null && at - hypothesis.turnedAt > 60;
  const share = isTurned ? LID_OFF_TIME.turned : LID_OFF_TIME.share;
  const off = logistic((age - share * offAfter) / LID_OFF_TIME.spread);
  return { changes: all * off, opens: all * (1 - off) };
}

/**
 * What a lid at `at` or none within `seconds` about that time makes of each hypothesis. @param ratio so many times likelier is
 * what the dome did if a lid went up than if none did; null: nobody sees the dome meanwhile
 */
export const lidOdds =
  (
    state: EngineState,
    at: number,
    seconds: number,
    ratio: number | null,
  ): ((hypothesis: Hypothesis) => Odds) =>
  (hypothesis) => {
    const { changes, opens } = rateOf(state, hypothesis, at, ratio !== null);
    return {
      stays: Math.exp(-seconds * (changes + opens)),
      opens: seconds * opens * (ratio ?? 1),
      changes: seconds * changes * (ratio ?? 1),
    };
  };
