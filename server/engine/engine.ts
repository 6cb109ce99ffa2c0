import type { Engine, EngineInput, EngineOutput, EngineView, GrillPrior } from '../../shared/engine.ts';
import type { CookEventName } from '../../shared/event.ts';
import { stepAlerts, told } from './alerts.ts';
import { takeDoubtful, takeInto, estimate, isFresh, type Channel } from './channel.ts';
import { startState, type EngineState } from './engine-state.ts';
import { takeEvent } from './events.ts';
import { factsOf, type Facts } from './facts.ts';
import { forecastOf } from './forecast.ts';
import { notice } from './notice.ts';
import { isOpen } from './detect-lid.ts';
import { endedAlarms } from './pizzas.ts';
import { fold, type Lesson } from './prior.ts';
import { hear, nextSilence } from './silence.ts';
import { stepStone } from './state.ts';
import { teach } from './stone-model.ts';

export type { EngineState } from './engine-state.ts';

/** States and alerts are looked at once so often at most, a forecast is made so often, s. */
const LOOK_EVERY = 1;
const FORECAST_EVERY = 10;
const TEACH_EVERY = 10;
/** A time beyond this, s, is no time of a cook: taken, it would hold the clock there. */
const LONGEST_COOK = 1e8;

/** What a person says that bears on the stone's state. */
const TELLING: ReadonlySet<CookEventName> = new Set(['launch', 'off', 'undo', 'answer', 'targets']);

function evaluate(state: EngineState, t: number, out: EngineOutput[], isTold = false): void {
  state.evaluatedAt = t;
  const facts = factsOf(state, t);
  notice(state, facts, out);
  learn(state, facts);
  remember(state, facts);
  const hasChanged = stepStone(state, facts, isTold);
  if (hasChanged) out.push({ t, type: 'state', state: state.stone.state, why: state.stone.why });
  if (state.stone.state === 'ready') state.firstReadyAt ??= t;
  if (hasChanged || t - state.forecastAt >= FORECAST_EVERY) {
    state.forecast = forecastOf(state, facts);
    state.forecastAt = t;
    out.push(state.forecast);
  }
  stepAlerts(state, facts, out);
}

function remember(state: EngineState, { t, stone, low, high }: Facts): void {
  if (stone?.isFresh && stone.celsius >= low && stone.celsius <= high && state.onStone.length === 0)
    state.inBandAt = t;
}

/** A freed stone fills up from within for so long, s: what it gains then is not what the air gives it. */
const RECOVERS = 420;

/** The stone teaches its model while the lid is shut, nothing lies on it and its skin and core are at one. */
function learn(state: EngineState, { t, stone, dome }: Facts): void {
  if (t - state.model.at < TEACH_EVERY || !stone?.isFresh || !dome?.isFresh) return;
  const isDisturbed = isOpen(state.lid) || t - state.lid.closedAt < 60 || state.onStone.length > 0;
  if (isDisturbed || t - (state.offAt ?? -1e6) < RECOVERS || stone.celsius < 60) return;
  teach(state.model, t, dome.celsius - stone.celsius, stone.perMinute / 60);
}

/** °C: no thermocouple reads beyond, and no charcoal burns hotter. */
const isOfThisWorld = (celsius: number): boolean => celsius > -200 && celsius < 2000;

function channelNamed(channels: readonly Channel[], id: string): Channel | null {
  for (const channel of channels) if (channel.id === id) return channel;
  return null;
}

function take(state: EngineState, t: number, input: EngineInput, out: EngineOutput[]): void {
  if (input.kind === 'event') {
    takeEvent(state, t, input.event, out);
    for (const kept of endedAlarms(state, t)) out.push(told(kept, { kind: 'state', state: 'normal' }, t));
    evaluate(state, t, out, TELLING.has(input.event.event));
    return;
  }
  if (input.kind !== 'reading') return;
  const channel = channelNamed(state.channels, input.channel);
  if (!channel) return;
  const { celsius, quality } = input;
  if (celsius !== null && quality === 'good' && isOfThisWorld(celsius)) takeInto(channel, input.t, celsius);
  else takeDoubtful(channel, input.t);
  if (t - state.evaluatedAt >= LOOK_EVERY) evaluate(state, t, out);
}

function step(state: EngineState, input: EngineInput): EngineOutput[] {
  const out: EngineOutput[] = [];
  if (!(Math.abs(input.t) < LONGEST_COOK)) return out;
  const t = Math.max(state.t, input.t);
  for (let at = nextSilence(state.silence, t); at !== null; at = nextSilence(state.silence, t))
    evaluate(state, at, out);
  if (input.kind === 'tick') return out;
  state.t = t;
  hear(state.silence, t);
  take(state, t, input, out);
  return out;
}

function view(state: EngineState): EngineView {
  const t = Math.max(state.t, state.evaluatedAt);
  const channels: EngineView['channels'] = {};
  for (const channel of state.channels) {
    const now = isFresh(channel, t) ? estimate(channel, t) : null;
    channels[channel.id] = {
      celsius: now?.celsius ?? null,
      error: now?.error ?? null,
      perMinute: now ? 60 * now.perSecond : null,
      perMinuteError: now ? 60 * now.perSecondError : null,
      lastGood: channel.filter.good,
    };
  }
  const { state: name, since, why } = state.stone;
  return {
    state: name,
    since,
    why,
    channels,
    forecast: state.forecast,
    alerts: standing(state),
    lidOpen: state.lid.phase === 'open',
    onStone: state.onStone.map(({ pizza, launchedAt, turnAfter, offAfter, turnedAt }) => ({
      pizza,
      launchedAt,
      turnAt: turnedAt === null ? launchedAt + turnAfter : null,
      offAt: launchedAt + offAfter,
    })),
  };
}

function standing({ alarms }: EngineState): EngineView['alerts'] {
  const found: EngineView['alerts'] = [];
  for (const { alert, pizza, alarm, said } of alarms) {
    const { state, raisedAt, since, shelvedUntil } = alarm;
    if (state === 'normal') continue;
    const { message, urgency, why } = said;
    const one: EngineView['alerts'][number] = { alert, state, raisedAt, since, message, urgency, why };
    if (shelvedUntil !== null) one.shelvedUntil = shelvedUntil;
    if (pizza !== null) one.pizza = pizza;
    found.push(one);
  }
  return found;
}

/** A cook that never got hot teaches nothing. */
function learned(state: EngineState): GrillPrior | null {
  const { model, watch, prior, firstReadyAt } = state;
  if (model.taught < 900) return null;
  const lesson: Lesson = { tau: 1 / model.a, offset: model.c / model.a };
  if (watch.launches > 0) lesson.fall = watch.fall;
  if (firstReadyAt !== null) lesson.readyAfter = firstReadyAt;
  return fold(prior, lesson);
}

export const engine: Engine<EngineState> = { start: startState, step, view, learned };
