import type { Why } from '../../shared/engine.ts';
import type { StoneState } from '../../shared/words.ts';
import { isOpen } from './detect-lid.ts';
import type { EngineState } from './engine-state.ts';
import { tenth, type Facts } from './facts.ts';

/** What 'steady' allows over two minutes, °C, and the rate that tells climbing and falling, °C/min: the contract's. */
const STEADY = 6;
const RATE = 1;
/** In standard errors: how sure it must be that the stone is steady, and that it is in the band. */
const DOUBT = 1.2;
const SURE = 1;
/** Just below the band, °C (our choice). */
const JUST_BELOW = 6;
/** After a pizza the stone may be called recovering for so long, s (our choice). */
const RECOVERS_WITHIN = 1200;

/** The stone's state by the contract's definitions. A deadband of what the noise may do lies about each limit. */
export function classify(state: EngineState, facts: Facts): StoneState {
  const { stone } = facts;
  if (!stone?.isFresh) return 'blind';
  if (state.onStone.length > 0) return 'baking';
  const was = state.stone.state;
  const slack = Math.min(3, Math.max(0.5, 1.5 * stone.error));
  if (stone.celsius > facts.high - (was === 'hot' ? Math.min(0.6, slack) : 0)) return 'hot';
  const wasInside = was === 'ready' || was === 'soaking';
  if (stone.celsius >= facts.low + (wasInside ? -slack : SURE * stone.error))
    return isSteady(state, facts) ? 'ready' : 'soaking';
  return below(state, facts);
}

export function isSteady(state: EngineState, { stone }: Facts): boolean {
  if (!stone || stone.change === null) return false;
  const slack = state.stone.state === 'ready' ? Math.min(2, Math.max(0.6, 2 * stone.changeError)) : 0;
  // A call too early costs more than one too late: steady is what is steady beyond doubt.
  const doubt = state.stone.state === 'ready' ? 0 : DOUBT * Math.min(4, stone.changeError);
  return Math.abs(stone.change) < STEADY + slack - doubt;
}

function below(state: EngineState, { stone, t, low }: Facts): StoneState {
  if (!stone) return 'blind';
  const was = state.stone.state;
  const perMinute = (stone.change ?? 2 * stone.perMinute) / 2;
  const slack = Math.min(0.5, Math.max(0.1, stone.changeError / 2));
  const sinceOff = state.offAt === null ? Infinity : t - state.offAt;
  const isRecovering = sinceOff < RECOVERS_WITHIN && (state.inBandAt ?? -1) < (state.offAt ?? 0);
  if (isRecovering && (perMinute > -RATE || sinceOff < 180)) return 'recovering';
  if (perMinute <= -RATE + (was === 'falling' ? slack : 0)) return 'falling';
  const fell = was === 'ready' || was === 'soaking' || was === 'hot' || was === 'falling';
  if (perMinute >= RATE - (was === 'climbing' ? slack : 0)) return 'climbing';
  if (fell && perMinute < 0) return 'falling';
  if (stone.celsius > low - JUST_BELOW && perMinute > 0 && Math.abs(stone.change ?? 99) < STEADY)
    return 'soaking';
  return 'cold';
}

/** A state must hold so long before it is told, s; what matters at once is told at once. */
const HOLD: Record<StoneState, number> = {
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
const UNSETTLED = 45;

/**
 * Moves the state on. @returns whether it changed
 * @param isTold a person just said something that bears on it: what follows from that is told with it, not after a while
 */
export function stepStone(state: EngineState, facts: Facts, isTold: boolean): boolean {
  const { stone: kept } = state;
  const now = classify(state, facts);
  if (now === kept.state) {
    kept.pending = null;
    return false;
  }
  // Just after the lid went up the air is not what it was: only what is sure is told.
  if (
    isOpen(state.lid) &&
    facts.t - state.lid.openedAt < UNSETTLED &&
    kept.state !== 'blind' &&
    now !== 'blind' &&
    now !== 'baking' &&
    kept.state !== 'baking'
  )
    return false;
  if (kept.pending !== now) {
    kept.pending = now;
    kept.pendingSince = facts.t;
  }
  const isAtOnce = isTold || kept.state === 'blind' || kept.state === 'baking';
  if (facts.t - kept.pendingSince < HOLD[now] && !isAtOnce) return false;
  kept.state = now;
  kept.since = facts.t;
  kept.pending = null;
  kept.why = whyOf(facts);
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
