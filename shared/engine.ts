import type { CookEvent } from './event.ts';
import type { AlertName, AlertState, Noticed, Quality, Role, StoneState } from './words.ts';

/**
 * What goes into the engine and what comes out: plain data both ways, so that a live cook, a replay and a test run the
 * same code. All times `t`, `at` are seconds since the cook started, on the monotonic clock.
 */

/** Lowest and highest wanted temperature, °C. */
export type Band = readonly [low: number, high: number];

export type Targets = {
  stone: Band;
  dome?: Band;
  /** Never above this, °C, for the grill's own sake. */ domeLimit?: number | null;
};

/** Where nothing is said: common practice, no source (stone about 270 °C, dome about 250 °C). */
export const DEFAULT_TARGETS: Targets = { stone: [255, 285], dome: [235, 275], domeLimit: 370 };
/** Common practice, no source: turn at 3 to 4 min, done at 7 to 8 min. Seconds. */
export const DEFAULT_BAKE = { turnAfter: 210, offAfter: 450 } as const;

/** Numbers behind a state, alert or forecast, named, for the review to show: `{stone: 263.2, perMinute: 2.4}`. */
export type Why = Record<string, number | string>;

/** What earlier cooks on this grill taught, or null. Shape is the engine's own; stored with `version`, forgettable. */
export type GrillPrior = { version: number; cooks: number; values: Record<string, number> };

export type EngineConfig = {
  channels: readonly { id: string; role: Role }[];
  targets: Targets;
  bake?: { turnAfter: number; offAfter: number };
  prior?: GrillPrior | null;
};

export type EngineInput =
  | { kind: 'reading'; t: number; channel: string; celsius: number | null; quality: Quality; reason?: string }
  | { kind: 'event'; t: number; event: CookEvent }
  /** Time has passed and nothing came: what live calls once a second, so that silence is noticed. */
  | { kind: 'tick'; t: number };

/** One point of a forecast curve: the middle and the 80 % range, °C, at `t`. */
export type ForecastPoint = { t: number; celsius: number; low: number; high: number };

export type Forecast = {
  t: number;
  type: 'forecast';
  /** Present estimate of the stone surface, °C, and its rate, °C/min, each with one standard error; null when blind. */
  stone: number | null;
  stoneError: number | null;
  perMinute: number | null;
  perMinuteError: number | null;
  dome: number | null;
  domePerMinute: number | null;
  /** When the stone will be ready, and the 80 % range; null where nothing can be said, `readyAt` = t when it is. */
  readyAt: number | null;
  readyBetween: [number, number] | null;
  /** Highest stone temperature of the next 20 min; null where it does not peak within them. */
  peak: { celsius: number; at: number } | null;
  /** When the stone passes the top of its band within 20 min, else null. */
  overAt: number | null;
  /** When the stone or dome leaves its band downward within 20 min, else null. */
  fadesAt: number | null;
  /** The next 20 min a point a minute, first point now; empty when blind. Left out of `analyse`'s lines. */
  curves: { stone: ForecastPoint[]; dome: ForecastPoint[] };
};

export type EngineOutput =
  | { t: number; type: 'state'; state: StoneState; why: Why }
  /** An alert is raised (or sounds again: `again` counts from 1). One line is one call on the person. */
  | {
      t: number;
      type: 'alert';
      alert: AlertName;
      message: string;
      urgency: Urgency;
      why: Why;
      again?: number;
      pizza?: string;
    }
  /** Any other move of an alert's life. */
  | { t: number; type: 'alert-state'; alert: AlertName; state: AlertState; pizza?: string }
  | Forecast
  | { t: number; type: 'noticed'; event: Noticed; at: number; confidence: number; why: Why };

/** `prompt`: good to know now. `act`: do something within minutes. `urgent`: now, or something is spoilt or unsafe. */
export type Urgency = 'prompt' | 'act' | 'urgent';

/** An alert as it stands. `since` is when it entered `state`, `raisedAt` when it was last raised. */
export type StandingAlert = {
  alert: AlertName;
  state: Exclude<AlertState, 'normal'>;
  urgency: Urgency;
  message: string;
  raisedAt: number;
  since: number;
  shelvedUntil?: number;
  pizza?: string;
  why: Why;
};

/** Present estimate of one channel: value and standard error, °C; rate and standard error, °C/min. */
export type ChannelEstimate = {
  celsius: number | null;
  error: number | null;
  perMinute: number | null;
  perMinuteError: number | null;
  /** Time of the last trustworthy reading; null when there was none. */
  lastGood: number | null;
};

/** What the engine says at an instant, read whenever a screen wants it. */
export type EngineView = {
  state: StoneState;
  since: number;
  why: Why;
  channels: Record<string, ChannelEstimate>;
  forecast: Forecast | null;
  alerts: StandingAlert[];
  lidOpen: boolean;
  /** Ids of the pizzas on the stone, with the times at which turn and off are due. */
  onStone: { pizza: string | null; launchedAt: number; turnAt: number | null; offAt: number }[];
};

/**
 * The engine. `state` is plain JSON data and is mutated in place; nothing else is kept between calls, there is no
 * clock and no I/O, so that JSON.parse(JSON.stringify(state)) goes on exactly where `state` was.
 * Time may not run back: an input older than the last is taken as of the last (a late reading updates its own
 * channel's filter only when it is newer than that channel's last).
 * In silence the engine evaluates at the last input's t + 5, + 6, + 7 … s, whenever the next call comes, so that live
 * ticks and a replay without ticks give the same outputs at the same `t`.
 */
export interface Engine<S> {
  start(config: EngineConfig): S;
  step(state: S, input: EngineInput): EngineOutput[];
  view(state: S): EngineView;
  /** What this cook teaches the next one; null when too little was seen. */
  learned(state: S): GrillPrior | null;
}
