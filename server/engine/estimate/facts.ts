import { estimate, channelOf, isFresh, type Channel } from './channel.ts';
import type { EngineState } from '../engine-state.ts';
import { dialAt } from '../heat/dial.ts';
import { lookedAt } from '../heat/doubt.ts';
import { estimateOf, type StoneEstimate } from './unmeasured.ts';
import { lineThrough } from './reading-bins.ts';

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

/** Seconds over which 'steady' is judged. */
const STEADY_SECONDS = 120;
/**
 * The surface is taken to be so many seconds ahead of its probe: lags of 1 to 20 s are usual (recalled), and what is called too
 * early is worse than too late. Over 48 cooks of the half to tune on, 8 s call 6 s sooner on the median, but 2 of 75
 * readinesses more than 45 s before they are so.
 */
export const PROBE_LAG_SECONDS = 4;

/** What a bend is believed to make of it at most, °C. */
const MAX_BEND_CELSIUS = 1.5;

/** The slope over two minutes is, for a bending curve, what its ends moved; it averages the noise of all between. */
type Change = {
  change: number | null;
  changeError: number;
  pace: number;
  isEstimate: boolean;
  /** Of an estimate: how probable it is that the stone lies free in its band, and above it. */
  inside: number;
  over: number;
};

function changeOf(channel: Channel, t: number): Pick<Change, 'change' | 'changeError' | 'pace'> {
  const line = lineThrough(channel.bins, t - STEADY_SECONDS - 2, t);
  const first = channel.bins.t[0] ?? channel.filter.good ?? t;
  if (!line || t - first < 0.75 * STEADY_SECONDS)
    return { change: null, changeError: 99, pace: (estimate(channel, t)?.perSecond ?? 0) * 60 };
  const last = lineThrough(channel.bins, t - STEADY_SECONDS / 2, t);
  // Over a bending curve the slope of the last minute leads that of both by half of what the rate moved in a minute.
  const bend = last ? 4 * PROBE_LAG_SECONDS * (last.slope - line.slope) : 0;
  return {
    pace: last ? 60 * last.slope : (STEADY_SECONDS / 2) * line.slope,
    change: STEADY_SECONDS * line.slope + Math.max(-MAX_BEND_CELSIUS, Math.min(MAX_BEND_CELSIUS, bend)),
    changeError: STEADY_SECONDS * (line.slopeError ?? 0.02),
  };
}

function stoneOf(channel: Channel, t: number): Facts['stone'] {
  const level = levelOf(channel, t);
  if (!level) return null;
  const { celsius, error, perMinute, perMinuteError, isFresh } = level;
  const { change, changeError, pace } = changeOf(channel, t);
  // Spelled out: of two spreads V8 makes an object with a hidden class of its own, here one each second.
  return {
    celsius,
    error,
    perMinute,
    perMinuteError,
    isFresh,
    change,
    changeError,
    pace,
    isEstimate: false,
    inside: 0,
    over: 0,
  };
}

/** How far an estimate's rate may be off, °C/min, and what it says it moved in 2 min, °C. */
const RATE_ERROR_PER_MINUTE = 0.6;
const CHANGE_ERROR_CELSIUS = 1;

/** A stone that nobody measures, by the heat model. */
function estimatedStone(state: EngineState, t: number): Facts['stone'] {
  const now = guessOf(state, t);
  if (!now) return null;
  const { celsius, error, perMinute, change } = now;
  return {
    celsius,
    error,
    perMinute,
    perMinuteError: RATE_ERROR_PER_MINUTE,
    isFresh: true,
    change,
    changeError: CHANGE_ERROR_CELSIUS,
    pace: perMinute,
    isEstimate: true,
    inside: now.inside,
    over: now.over,
  };
}

/** How old the look at a dial may be, s, before the dome counts as unknown. */
const DIAL_LASTS_SECONDS = 900;

function lookedDome(state: EngineState, t: number): Level | null {
  const looks = lookedAt(state, 'dome')?.looks;
  const last = looks?.at(-1);
  if (!looks || !last) return null;
  const now = dialAt(looks, t);
  const age = t - last.t;
  return {
    celsius: now,
    error: 3 + age / 40,
    perMinute: now - dialAt(looks, t - 60),
    perMinuteError: 3,
    isFresh: age <= DIAL_LASTS_SECONDS,
  };
}

function domeOf(state: EngineState, channel: Channel | null, t: number): Level | null {
  const isMeasured = channel !== null && isFresh(channel, t);
  return (isMeasured ? null : lookedDome(state, t)) ?? (channel && levelOf(channel, t));
}

/**
 * The model carries a stone on by its dome: of a stone whose probe fell silent it knows nothing once the dome is silent too,
 * until somebody looks.
 */
function isCutOff(state: EngineState, t: number): boolean {
  const { filter, looks } = channelOf(state.channels, 'stone', t) ?? {};
  if (!filter || filter.every === null || (looks?.at(-1)?.t ?? -1e6) > (filter.good ?? t)) return false;
  return domeOf(state, channelOf(state.channels, 'dome', t), t)?.isFresh !== true;
}

/** The stone that no probe shows now, by the heat model; null where nothing useful can be said of it. */
export const guessOf = (state: EngineState, t: number): StoneEstimate | null =>
  isCutOff(state, t) ? null : estimateOf(state, t);

export function factsOf(state: EngineState, t: number): Facts {
  const [low, high] = state.targets.stone;
  const stoneChannel = channelOf(state.channels, 'stone', t);
  const domeChannel = channelOf(state.channels, 'dome', t);
  const isMeasured = stoneChannel !== null && isFresh(stoneChannel, t);
  return {
    t,
    stone: (isMeasured ? null : estimatedStone(state, t)) ?? (stoneChannel && stoneOf(stoneChannel, t)),
    dome: domeOf(state, domeChannel, t),
    stoneChannel,
    domeChannel,
    low,
    high,
  };
}

/** For `why`: a tenth is finer than any probe here. Never −0, which JSON does not keep. */
export const tenth = (value: number): number => Math.round(value * 10) / 10 + 0;
