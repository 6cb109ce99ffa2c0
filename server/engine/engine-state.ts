import type { Why, StoneState } from '../../shared/words.ts';
import {
  DEFAULT_BAKE,
  type EngineConfig,
  type Forecast,
  type GrillPrior,
  type Targets,
  type WhatIf,
} from '../../shared/engine.ts';
import { startCook, type Cook } from '../../shared/cook/reduce.ts';
import type { AlertName } from '../../shared/alert/kinds.ts';
import { freshAdviser, type Adviser } from './advice/adviser.ts';
import type { Alarm } from './alarm/alarm.ts';
import { freshChannel, type Channel } from './estimate/channel.ts';
import { freshFuelWatch, type FuelWatch } from './detect/fuel.ts';
import { freshLid, type Lid } from './detect/lid-detector.ts';
import { freshPizzaWatch, type PizzaWatch } from './detect/pizza-detector.ts';
import { freshProbeWatch, type ProbeWatch } from './detect/moved-probes.ts';
import { habitOf, type Habit } from './forecast/habit.ts';
import { freshTracker, type Tracker } from './heat/tracker.ts';
import { beliefOf } from './grill-prior.ts';
import type { Silence } from './silence.ts';

/** A pizza that bakes. `isConfirmed`: a person said so, by a tap or an answer; else it was read off the curve. */
export type Baking = {
  key: number;
  pizza: string | null;
  /** The event that launched it; null where it was read off the curve. */
  launch: string | null;
  launchedAt: number;
  /** Null: no turn. */
  turnAfter: number | null;
  offAfter: number;
  turnedAt: number | null;
  /** Whether a person said that it was turned. */
  isTurnTapped: boolean;
  isConfirmed: boolean;
  /** When a confirmed one seems to have come off, by the curve; it stays until somebody says so, and is asked about once. */
  seenOffAt: number | null;
};
/** A pizza that came off, and the event that took it off; null where it was read off the curve. */
export type TakenOff = { baking: Baking; at: number; off: string | null };

/** An alarm of one alert, of one pizza where it is a pizza's, with what it last said in numbers. */
export type AlarmRecord = {
  alert: AlertName;
  key: number | null;
  pizza: string | null;
  alarm: Alarm;
  /** The numbers that it was raised with. */
  why: Why;
};

/** Everything that the engine knows: plain JSON, mutated in place. Times s, temperatures °C. */
export type EngineState = {
  version: 1;
  t: number;
  evaluatedAt: number;
  silence: Silence;
  channels: Channel[];
  /** What people said, and what of it is wanted now. */
  cook: Cook;
  targets: Targets;
  bake: { turnAfter: number | null; offAfter: number };
  prior: GrillPrior | null;
  lid: Lid;
  fuel: FuelWatch;
  watch: PizzaWatch;
  probes: ProbeWatch;
  tracker: Tracker;
  /** How the dome was held in the cooks before. */
  habit: Habit;
  onStone: Baking[];
  takenOff: TakenOff[];
  nextKey: number;
  stone: { state: StoneState; since: number; why: Why; pending: StoneState | null; pendingSince: number };
  /** When the last pizza came off, and when the stone was last in its band. */
  offAt: number | null;
  inBandAt: number | null;
  /** The dome to come, where an analysis is to know it: [s, °C] in order of time. */
  givenDome: readonly (readonly [number, number])[] | null;
  alarms: AlarmRecord[];
  forecast: Forecast | null;
  forecastAt: number;
  /** Of the same moment as the forecast. */
  whatIf: WhatIf | null;
  /** A person changed the vents, or the engine noticed: the forecast opens again. */
  ventAt: number | null;
  adviser: Adviser;
};

const BEFORE_ALL = -1e6;

const isBand = (band: unknown): band is readonly [number, number] =>
  Array.isArray(band) && band.length === 2 && band.every((value) => Number.isFinite(value));

const targetsOf = ({ stone, dome, domeLimit }: Targets): Targets => ({
  stone: isBand(stone) ? [stone[0], stone[1]] : [255, 285],
  ...(isBand(dome) && { dome: [dome[0], dome[1]] as const }),
  domeLimit: domeLimit ?? null,
});

export function startState(config: EngineConfig): EngineState {
  const targets = targetsOf(config.targets);
  return {
    version: 1,
    t: 0,
    evaluatedAt: BEFORE_ALL,
    silence: { lastAt: null, done: 0 },
    channels: config.channels.map(freshChannel),
    cook: startCook(targets),
    targets,
    bake: { ...(config.bake ?? DEFAULT_BAKE) },
    prior: config.prior ?? null,
    lid: freshLid(),
    fuel: freshFuelWatch(),
    watch: freshPizzaWatch(),
    probes: freshProbeWatch(),
    tracker: freshTracker(beliefOf(config.prior ?? null), targets.stone[0]),
    habit: habitOf(config.prior ?? null),
    onStone: [],
    takenOff: [],
    nextKey: 1,
    stone: { state: 'blind', since: 0, why: {}, pending: null, pendingSince: 0 },
    offAt: null,
    inBandAt: null,
    givenDome: config.givenDome ?? null,
    alarms: [],
    forecast: null,
    forecastAt: BEFORE_ALL,
    whatIf: null,
    ventAt: null,
    adviser: freshAdviser(),
  };
}
