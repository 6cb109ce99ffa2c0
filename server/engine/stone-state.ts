import type { Why, StoneState } from '../../shared/words.ts';
import { isOpen } from './detect/lid-detector.ts';
import type { EngineState } from './engine-state.ts';
import { PROBE_LAG_SECONDS, tenth, type Facts } from './estimate/facts.ts';
import { STEADY_CELSIUS } from './heat/heat-history.ts';
import { readyChanceOf, type ReadyChance } from './estimate/unmeasured.ts';

/** The rate that tells climbing and falling, °C/min: so the states are defined. */
const MOVING_PER_MINUTE = 1;
/** In standard errors: how sure it must be that the stone is steady, and that it is in the band. */
const SURE_STANDARD_ERRORS = 1.2;
const IN_BAND_STANDARD_ERRORS = 1;
/** Just below the band, °C (our choice). */
const JUST_BELOW_CELSIUS = 6;
/** After a pizza the stone may be called recovering for so long, s (our choice). */
const RECOVERS_WITHIN_SECONDS = 1200;

type Stone = NonNullable<Facts['stone']>;

/** The stone's state as the states are defined: steady is less than STEADY_CELSIUS in 2 min. A deadband of what the noise may do lies about each limit. */
function classify(state: EngineState, facts: Facts): StoneState {
  const { stone } = facts;
  if (!stone?.isFresh) return 'blind';
  if (state.onStone.length > 0) return 'baking';
  const was = state.stone.state;
  if (stone.isEstimate) return classifyLikely(state, facts);
  const slack = Math.min(3, Math.max(0.5, 1.5 * stone.error));
  const surface = surfaceOf(stone);
  if (surface > facts.high + topSlack(was, stone, Math.min(0.6, slack))) return 'hot';
  if (surface >= facts.low + bottomSlack(was, stone, slack))
    return isSteady(state, facts) ? 'ready' : 'soaking';
  return below(state, facts);
}

/**
 * Of a stone that nobody measures. `enters`, `stays`: how probable it must be that it lies free in its band and is steady, to
 * be called ready, and to be called so still. `climbs`: how probable, that it climbs no faster: that comes by itself, so that
 * waiting costs little. `settled`, `freed`: one standard error of what it is taken to have moved in 2 min, °C, the latter
 * within `freedFor` s of a pizza, while it fills up again.
 * Called a little early does no harm: the look that is asked for decides. Of 87 readinesses in 60 cooks of the half to tune
 * on, looked at every 5 min, `climbs` 0.4 finds 79 at 0.18 false an hour, 0.45 finds 78 at 0.16, 0.5 finds 76 at 0.14.
 */
export const LIKELY_READY = { enters: 0.4, climbs: 0.45, stays: 0.3, settled: 3, freed: 3.5, freedFor: 900 };

/** How probable it is that it is ready, and that it climbs no faster than that. */
export function readyOdds(state: EngineState, { stone }: Facts): ReadyChance {
  if (!stone || state.onStone.length > 0) return { ready: 0, settled: 0 };
  return readyChanceOf(state, { within: STEADY_CELSIUS, ...LIKELY_READY });
}

/** A probe that is silent for less than this, s, is soon back: nothing new is called meanwhile. */
const PAUSE_SECONDS = 120;

function isPause({ t, stoneChannel }: Facts): boolean {
  const { good = null } = stoneChannel?.filter ?? {};
  return good !== null && t - good < PAUSE_SECONDS && (stoneChannel?.looks.at(-1)?.t ?? -1e6) < good;
}

function classifyLikely(state: EngineState, facts: Facts): StoneState {
  const { stone, low } = facts;
  if (!stone) return 'blind';
  const { celsius, inside, over } = stone;
  const was = state.stone.state;
  const { ready, settled } = readyOdds(state, facts);
  const isCalled =
    was === 'ready'
      ? ready >= LIKELY_READY.stays
      : ready >= LIKELY_READY.enters && settled >= LIKELY_READY.climbs && !isPause(facts);
  if (isCalled) return 'ready';
  if (inside >= 0.5 && celsius >= low) return 'soaking';
  if (over > 0.5) return 'hot';
  if (celsius < low) return below(state, facts);
  // nothing is sure: what it was, where that was inside
  return was === 'hot' || was === 'baking' || was === 'blind' || was === 'ready' ? 'soaking' : was;
}

/** A stone that falls so surely comes down through the top of its band for good, in standard errors. */
const FALLS_STANDARD_ERRORS = 4;
/** The surface is ahead of its probe by no more than this, °C. */
const MAX_LEAD_CELSIUS = 1;

/** The deadband about the top of the band lies ahead of a stone: one that falls is not over it any more, nor again. */
function topSlack(was: StoneState, { change, changeError }: Stone, slack: number): number {
  const falls = (change ?? 0) < -FALLS_STANDARD_ERRORS * changeError;
  if (was === 'hot') return falls ? 0 : -slack;
  return falls ? slack : 0;
}

/** A stone that soaks may do so just below its band: only one that was ready may be as far below it as noise can make it. */
function bottomSlack(was: StoneState, { error }: Stone, slack: number): number {
  if (was === 'ready') return -slack;
  return was === 'soaking' ? 0 : IN_BAND_STANDARD_ERRORS * error;
}

function surfaceOf({ celsius, pace }: Stone): number {
  const lead = (pace / 60) * PROBE_LAG_SECONDS;
  return celsius + Math.max(-MAX_LEAD_CELSIUS, Math.min(MAX_LEAD_CELSIUS, lead));
}

/** A stone that moves as fast as this now, °C/min, beyond two standard errors, is not steady, whatever it did in 2 min: a pizza fell on it. */
const MAX_PACE_PER_MINUTE = 6;

function isSteady(state: EngineState, facts: Facts): boolean {
  const { stone } = facts;
  if (!stone || stone.change === null) return false;
  const isMoving = Math.abs(stone.perMinute) - 2 * stone.perMinuteError > MAX_PACE_PER_MINUTE;
  if (isMoving && state.stone.state !== 'ready') return false;
  const slack = state.stone.state === 'ready' ? Math.min(2, Math.max(0.6, 2 * stone.changeError)) : 0;
  // A call too early costs more than one too late: steady is what is steady beyond doubt.
  const doubt = state.stone.state === 'ready' ? 0 : SURE_STANDARD_ERRORS * Math.min(4, stone.changeError);
  return Math.abs(stone.change) < STEADY_CELSIUS + slack - doubt;
}

function below(state: EngineState, { stone, t, low }: Facts): StoneState {
  if (!stone) return 'blind';
  const was = state.stone.state;
  const perMinute = (stone.change ?? 2 * stone.perMinute) / 2;
  const slack = Math.min(0.5, Math.max(0.1, stone.changeError / 2));
  const sinceOff = state.offAt === null ? Infinity : t - state.offAt;
  const isRecovering = sinceOff < RECOVERS_WITHIN_SECONDS && (state.inBandAt ?? -1) < (state.offAt ?? 0);
  if (isRecovering && (perMinute > -MOVING_PER_MINUTE || sinceOff < 180)) return 'recovering';
  if (perMinute <= -MOVING_PER_MINUTE + (was === 'falling' ? slack : 0)) return 'falling';
  const fell = was === 'ready' || was === 'soaking' || was === 'hot' || was === 'falling';
  if (perMinute >= MOVING_PER_MINUTE - (was === 'climbing' ? slack : 0)) return 'climbing';
  if (fell && perMinute < 0) return 'falling';
  if (
    stone.celsius > low - JUST_BELOW_CELSIUS &&
    perMinute > 0 &&
    Math.abs(stone.change ?? 99) < STEADY_CELSIUS
  )
    return 'soaking';
  return 'cold';
}

/** A state must hold so long before it is told, s; what matters at once is told at once. */
const HOLD_SECONDS: Record<StoneState, number> = {
  cold: 20,
  climbing: 20,
  soaking: 5,
  ready: 0,
  baking: 0,
  hot: 5,
  recovering: 0,
  falling: 20,
  blind: 0,
};

/** How long an opened lid unsettles what is read, s; a lid that is shut again is seen later than that by a slow probe. */
const LID_UNSETTLES_SECONDS = 45;

/**
 * Moves the state on. @returns whether it changed
 * @param isEmitted a person just said something that bears on it: what follows from that is told with it, not
 * after a while
 */
export function stepStone(state: EngineState, facts: Facts, isEmitted: boolean): boolean {
  const { stone } = state;
  const now = classify(state, facts);
  if (now === stone.state) {
    stone.pending = null;
    return false;
  }
  // Just after the lid went up the air is not what it was: only what is sure is told, as what a look shows.
  const isSeen = isEmitted && facts.stone?.isEstimate === true;
  if (
    !isSeen &&
    isOpen(state.lid) &&
    facts.t - state.lid.openedAt < LID_UNSETTLES_SECONDS &&
    stone.state !== 'blind' &&
    now !== 'blind' &&
    now !== 'baking' &&
    stone.state !== 'baking'
  )
    return false;
  if (stone.pending !== now) {
    stone.pending = now;
    stone.pendingSince = facts.t;
  }
  const isAtOnce = isEmitted || stone.state === 'blind' || stone.state === 'baking';
  if (facts.t - stone.pendingSince < HOLD_SECONDS[now] && !isAtOnce) return false;
  stone.state = now;
  stone.since = facts.t;
  stone.pending = null;
  stone.why = whyOf(facts);
  return true;
}

function whyOf({ stone, dome, low, high }: Facts): Why {
  const why: Why = {};
  if (stone) {
    why['stone'] = tenth(stone.celsius);
    why['error'] = tenth(stone.error);
    why['perMinute'] = tenth(stone.perMinute);
    if (stone.change !== null) why['changeIn2Min'] = tenth(stone.change);
  }
  if (dome) why['dome'] = tenth(dome.celsius);
  why['low'] = low;
  why['high'] = high;
  return why;
}
