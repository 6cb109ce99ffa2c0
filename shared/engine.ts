import type { Cook } from './cook/reduce.ts';
import type { Band, Targets } from './targets.ts';
import type { CookEvent } from './event.ts';
import type { AlertName } from './alert/kinds.ts';
import type { AlertState, Noticed, Quality, Role, StoneState, Urgency, Why } from './words.ts';

export type { Band, Targets } from './targets.ts';

/**
 * What goes into the engine and what comes out: plain data both ways, so that a live cook, a replay and a test run the
 * same code. All times `t`, `at` are seconds since the cook started, on the monotonic clock.
 */

/** Defaults: common practice, no source (stone about 270 °C, dome about 250 °C). */
export const DEFAULT_TARGETS: Targets = { stone: [255, 285], dome: [235, 275], domeLimit: 370 };
/** Common practice, no source: turn at 3 to 4 min, done at 7 to 8 min. Seconds. */
export const DEFAULT_BAKE = { turnAfter: 210, offAfter: 450 } as const;

/** What earlier cooks on this grill taught, or null. Shape is the engine's own; stored with `version`, forgettable. */
export type GrillPrior = { version: number; cooks: number; values: Record<string, number> };

export type EngineConfig = {
  channels: readonly { id: string; role: Role }[];
  targets: Targets;
  /** `turnAfter` null: no turn. */ bake?: { turnAfter: number | null; offAfter: number };
  prior?: GrillPrior | null;
  /** The dome to come, [s, °C], for an analysis that asks how well the grill is known apart from what people do. */
  givenDome?: readonly (readonly [number, number])[] | null;
};

export type EngineInput =
  | {
      kind: 'reading';
      t: number;
      channel: string;
      celsius: number | null;
      quality: Quality;
      reason?: string;
      /** A person looked and typed it in: infrared thermometer, dial. */ isLook?: true;
      /** Names a look, so that it can be taken back. */ id?: string;
    }
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
  /** When the stone enters its band from below; null where unknown, or where it is in or above the band. */
  bandAt: number | null;
  /** When the stone will be ready, and the 80 % range; null where unknown, `readyAt` = t when it is ready. */
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

/** Openings of the vents that have a name. */
export type VentLevel = 'shut' | 'low' | 'half' | 'open';

/** What to do with the fire now: the opening, its share of the full one (0 to 1), and the dome to aim for, °C. */
export type Advice = {
  t: number;
  type: 'advice';
  vents: VentLevel;
  share: number;
  domeTo: number;
  why: string;
  /** Between two pizzas: when the stone is back, at what dome that is sooner, and when. */
  back?: StoneBack;
};

/** When the stone is right for a pizza, s, with the dome as it goes; a hotter dome, °C, under which it is so sooner, and when. */
export type StoneBack = { at: number; sooner: { dome: number; at: number } | null };

/** Where the stone goes within 20 min: its highest and when, when it enters its band, when it is over it, where it ends, °C. */
export type Outcome = {
  highest: { celsius: number; at: number };
  bandAt: number | null;
  overAt: number | null;
  ends: number;
};

/** What comes of what is done with the fire: nothing, the vents shut now or later, the dome held at so many °C. */
export type WhatIf = {
  asItIs: Outcome;
  shut: Outcome;
  shutLater: Outcome & { minutes: number };
  /** For so many more minutes shutting the vents keeps the stone in its band; null where it need not, or cannot. */
  until: number | null;
  held: (Outcome & { dome: number })[];
};

/** A °C beside what is right for a pizza is as bad as waiting so long, s (our choice). */
export const SECONDS_A_DEGREE = 20;

/** A pizza to come: the stone that is right for it, °C, and how long it lies, s. */
export type BakeAhead = { band: Band; seconds: number };
/** When it goes on and comes off, s; the stone then, °C, and how far beside what is right for it; the stone after it. */
export type LaunchAhead = { launchAt: number; offAt: number; stone: number; miss: number; rest: StoneAhead };
/** The stone from `t` s on, as the heat model foresees it: what comes of a launch of this pizza next. */
export type StoneAhead = { t: number; next(bake: BakeAhead): LaunchAhead };

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
  | Advice
  | { t: number; type: 'noticed'; event: Noticed; at: number; confidence: number; why: Why };

/** An alert as it stands. `since` is when it entered `state`, `raisedAt` when it was last raised. */
type StandingAlert = {
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
type ChannelEstimate = {
  celsius: number | null;
  error: number | null;
  perMinute: number | null;
  perMinuteError: number | null;
  /** Time of the last trustworthy reading; null when there was none. */
  lastGood: number | null;
  /** Nobody measures it now: it is what the heat model makes of the dome and the last looks. */
  isEstimate: boolean;
  /** When a person last looked at what is believed, null where nobody did. */
  lookedAt: number | null;
};

export type LidState = 'open' | 'shut' | 'unknown';

/** What the engine says at an instant, read whenever a screen wants it. */
export type EngineView = {
  state: StoneState;
  since: number;
  why: Why;
  channels: Record<string, ChannelEstimate>;
  forecast: Forecast | null;
  advice: Advice | null;
  /** Null with a pizza on the stone, or where unknown. */
  whatIf: WhatIf | null;
  alerts: StandingAlert[];
  lidOpen: boolean;
  /** `unknown` where nothing measures the dome now: then a lid that goes up is not seen. */
  lid: LidState;
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
  /** The stone through pizzas to come, under the dome as it goes or one held at so many °C; null where unknown. */
  ahead(state: S, held: number | null): StoneAhead | null;
  /** The events that people entered for this cook, folded. */
  cook(state: S): Cook;
  /** When the stone is right for a pizza, and what dome has it so sooner; null with one on it, or where unknown. */
  back(state: S, bake: BakeAhead): StoneBack | null;
  /** What this cook teaches the next one; null when too little was seen, or it is not of this grill. */
  learned(state: S): GrillPrior | null;
  /**
   * The same in pieces of about a millisecond, on top of `prior`; `fits` is false where the cook is not of the grill that
   * taught that: the lesson is then of this cook alone. What comes later into `state` does not matter.
   */
  lesson(state: S, prior: GrillPrior | null): Generator<void, GrillLesson | null, void>;
}

/** What a cook teaches of a grill. */
export type GrillLesson = {
  prior: GrillPrior;
  fits: boolean;
  /** The cold grill, °C, where it was cold, and minutes until the stone entered its band, where it did. */
  outside: number | null;
  minutes: number | null;
};

/** A figure with one standard error. */
export type Known = { value: number; error: number };

/** What cooks taught of a grill, in words of the person. */
export type GrillKnown = {
  cooks: number;
  /** Minutes until the stone enters its band, under a dome that is there in `domeMinutes` and held. */
  domeMinutes: number;
  ready: Known;
  /** How long the stone lags behind its dome (63 % of a step), min; how far above it it settles, °C. */
  lag: Known;
  offset: Known;
  /** How long the stone goes on climbing once the vents are shut, min, at 3 °C/min when they are. */
  bites: Known;
  /** How its person holds the dome with the stone so far `below` its band, °C, from so many cooks. */
  holds: { below: number; dome: Known; cooks: number }[];
};
