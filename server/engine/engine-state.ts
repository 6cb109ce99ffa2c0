import {
  DEFAULT_BAKE,
  type EngineConfig,
  type Forecast,
  type GrillPrior,
  type StandingAlert,
  type Targets,
  type Why,
} from '../../shared/engine.ts';
import type { AlertName, StoneState } from '../../shared/words.ts';
import type { Alarm } from './alarm.ts';
import { freshChannel, type Channel } from './channel.ts';
import { freshFuelWatch, type FuelWatch } from './detect-fuel.ts';
import { freshLid, type Lid } from './detect-lid.ts';
import { freshPizzaWatch, type PizzaWatch } from './detect-pizza.ts';
import { freshProbeWatch, type ProbeWatch } from './detect-probe.ts';
import { freshModel, type StoneModel } from './stone-model.ts';
import type { Silence } from './silence.ts';

/** A pizza that bakes. `isConfirmed`: a person said so, by a tap or an answer; else it was read off the curve. */
export type Baking = {
  key: number;
  pizza: string | null;
  eventId: string | null;
  launchedAt: number;
  turnAfter: number;
  offAfter: number;
  turnedAt: number | null;
  turnEventId: string | null;
  isConfirmed: boolean;
};
/** A pizza that came off, kept a while for undo. */
export type TakenOff = { baking: Baking; at: number; eventId: string | null };

/** An alarm of one alert, of one pizza where it is a pizza's, with what it last said. */
export type KeptAlarm = {
  alert: AlertName;
  key: number | null;
  pizza: string | null;
  alarm: Alarm;
  said: { message: string; urgency: StandingAlert['urgency']; why: Why };
};

/** Everything that the engine knows: plain JSON, mutated in place. Times s, temperatures °C. */
export type EngineState = {
  version: 1;
  t: number;
  evaluatedAt: number;
  silence: Silence;
  channels: Channel[];
  targets: Targets;
  bake: { turnAfter: number; offAfter: number };
  prior: GrillPrior | null;
  lid: Lid;
  fuel: FuelWatch;
  watch: PizzaWatch;
  probes: ProbeWatch;
  model: StoneModel;
  onStone: Baking[];
  taken: TakenOff[];
  /** Targets before each change, by the event that changed them, for undo. */
  targetsBefore: { eventId: string; targets: Targets }[];
  nextKey: number;
  stone: { state: StoneState; since: number; why: Why; pending: StoneState | null; pendingSince: number };
  /** When the last pizza came off, and when the stone was last in its band. */
  offAt: number | null;
  inBandAt: number | null;
  firstReadyAt: number | null;
  alarms: KeptAlarm[];
  forecast: Forecast | null;
  forecastAt: number;
  /** A person changed the vents, or the engine noticed: the forecast opens again. */
  ventAt: number | null;
};

const BEFORE_ALL = -1e6;

const isBand = (band: unknown): band is readonly [number, number] =>
  Array.isArray(band) && band.length === 2 && band.every((value) => Number.isFinite(value));

export function startState(config: EngineConfig): EngineState {
  const { stone, dome, domeLimit } = config.targets;
  return {
    version: 1,
    t: 0,
    evaluatedAt: BEFORE_ALL,
    silence: { heard: null, done: 0 },
    channels: config.channels.map(freshChannel),
    targets: {
      stone: isBand(stone) ? [stone[0], stone[1]] : [255, 285],
      ...(isBand(dome) && { dome: [dome[0], dome[1]] as const }),
      domeLimit: domeLimit ?? null,
    },
    bake: { ...(config.bake ?? DEFAULT_BAKE) },
    prior: config.prior ?? null,
    lid: freshLid(),
    fuel: freshFuelWatch(),
    watch: freshPizzaWatch(),
    probes: freshProbeWatch(),
    model: freshModel(config.prior ?? null),
    onStone: [],
    taken: [],
    targetsBefore: [],
    nextKey: 1,
    stone: { state: 'blind', since: 0, why: {}, pending: null, pendingSince: 0 },
    offAt: null,
    inBandAt: null,
    firstReadyAt: null,
    alarms: [],
    forecast: null,
    forecastAt: BEFORE_ALL,
    ventAt: null,
  };
}
