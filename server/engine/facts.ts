import { estimate, channelOf, isFresh, type Channel } from './channel.ts';
import type { EngineState } from './engine-state.ts';
import { lineThrough } from './trend.ts';

/** What is so at an instant, worked out once an evaluation. Times s, temperatures °C, rates °C/min. */
export type Level = {
  celsius: number;
  error: number;
  perMinute: number;
  perMinuteError: number;
  isFresh: boolean;
};
/**
 * `change`: what the stone moved in the last 2 minutes, with one standard error; null where it can't be told.
 * `pace`: its rate over the last minute, °C/min.
 */
export type Facts = {
  t: number;
  stone: (Level & Change) | null;
  dome: Level | null;
  stoneChannel: Channel | null;
  domeChannel: Channel | null;
  low: number;
  high: number;
};

function levelOf(channel: Channel, t: number): Level | null {
  const now = estimate(channel, t);
  if (!now) return null;
  return {
    celsius: now.celsius,
    error: now.error,
    perMinute: 60 * now.perSecond,
    perMinuteError: 60 * now.perSecondError,
    isFresh: isFresh(channel, t),
  };
}

/** Seconds over which 'steady' is judged, by the contract. */
const STEADY_OVER = 120;
/** The surface is so many seconds ahead of its probe at least (lags of 1 to 20 s are usual; recalled). */
const LAG = 2;

/** The slope over two minutes is, for a bending curve, what its ends moved; it averages the noise of all between. */
type Change = { change: number | null; changeError: number; pace: number };

function changeOf(channel: Channel, t: number): Change {
  const line = lineThrough(channel.bins, t - STEADY_OVER - 2, t);
  const first = channel.bins.t[0] ?? channel.filter.good ?? t;
  if (!line || t - first < 0.75 * STEADY_OVER)
    return { change: null, changeError: 99, pace: (estimate(channel, t)?.perSecond ?? 0) * 60 };
  const last = lineThrough(channel.bins, t - STEADY_OVER / 2, t);
  // Over a bending curve the slope of the last minute leads that of both by half of what the rate moved in a minute.
  const bend = last ? 4 * LAG * (last.slope - line.slope) : 0;
  return {
    pace: last ? 60 * last.slope : (STEADY_OVER / 2) * line.slope,
    change: STEADY_OVER * line.slope + Math.max(-1, Math.min(1, bend)),
    changeError: STEADY_OVER * (line.slopeError ?? 0.02),
  };
}

function stoneOf(channel: Channel, t: number): Facts['stone'] {
  const level = levelOf(channel, t);
  if (!level) return null;
  const { celsius, error, perMinute, perMinuteError, isFresh } = level;
  const { change, changeError, pace } = changeOf(channel, t);
  // Spelled out: of two spreads V8 makes an object with a hidden class of its own, here one each second.
  return { celsius, error, perMinute, perMinuteError, isFresh, change, changeError, pace };
}

export function factsOf(state: EngineState, t: number): Facts {
  const [low, high] = state.targets.stone;
  const stoneChannel = channelOf(state.channels, 'stone', t);
  const domeChannel = channelOf(state.channels, 'dome', t);
  return {
    t,
    stone: stoneChannel && stoneOf(stoneChannel, t),
    dome: domeChannel && levelOf(domeChannel, t),
    stoneChannel,
    domeChannel,
    low,
    high,
  };
}

/** For `why`: a tenth is finer than any probe here. Never −0, which JSON does not keep. */
export const tenth = (value: number): number => Math.round(value * 10) / 10 + 0;
