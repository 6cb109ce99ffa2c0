import type {
  Engine,
  EngineInput,
  EngineOutput,
  EngineView,
  GrillLesson,
  GrillPrior,
  LidState,
} from '../../shared/engine.ts';
import { reduce } from '../../shared/cook/reduce.ts';
import type { CookEventName } from '../../shared/event.ts';
import { advise } from './advice/adviser.ts';
import { end } from './alarm/alarm.ts';
import { wordingOf, stepAlerts, alertOutput } from './alarm/alert-life.ts';
import {
  channelOf,
  estimate,
  isFresh,
  isSparse,
  lookInstead,
  takeDoubtful,
  takeInto,
  takeLookInto,
  type Channel,
  type Look,
} from './estimate/channel.ts';
import { keptAlarm } from './alarm/condition.ts';
import { startState, type EngineState } from './engine-state.ts';
import { takeEvent } from './take-event.ts';
import { factsOf, guessOf, type Facts } from './estimate/facts.ts';
import { presentTrajectory } from './forecast/stone-trajectory.ts';
import { forecastOf } from './forecast/forecast.ts';
import { runAhead } from './forecast/run-ahead.ts';
import { adviseBack, stoneBack } from './forecast/stone-back.ts';
import { whatIf } from './forecast/what-if.ts';
import { believedLookAt, isDoubted, LOOK_VARIANCE } from './heat/doubt.ts';
import { follow, takeDial, takeLook } from './heat/follow.ts';
import { isOpen } from './detect/lid-detector.ts';
import type { InPieces } from '../../shared/work/in-pieces.ts';
import { assessLastLid, notice } from './detect/notice.ts';
import { assessGuesses, assessUnnoticed } from './detect/hands.ts';
import { endedAlarms } from './pizzas-on-stone.ts';
import { learn, lesson, warmUpFigures } from './grill-prior.ts';
import { hear, nextSilence } from './silence.ts';
import { stepStone } from './stone-state.ts';

export type { EngineState } from './engine-state.ts';

/** States and alerts are looked at once so often at most, a forecast is made so often, s. */
const EVALUATE_EVERY_SECONDS = 1;
const FORECAST_EVERY_SECONDS = 15;
/** A time beyond this, s, is no time of a cook: taken, it would hold the clock there. */
const MAX_COOK_SECONDS = 1e8;

/** What a person says that bears on the stone's state. */
const INFORMATIVE_EVENTS: ReadonlySet<CookEventName> = new Set([
  'launch',
  'off',
  'undo',
  'answer',
  'targets',
]);

function evaluate(state: EngineState, t: number, out: EngineOutput[], isEmitted = false): void {
  state.evaluatedAt = t;
  follow(state, t);
  const facts = factsOf(state, t);
  notice(state, facts, out);
  noteHighest(state, facts);
  const hasChanged = stepStone(state, facts, isEmitted);
  if (hasChanged) out.push({ t, type: 'state', state: state.stone.state, why: state.stone.why });
  if (hasChanged || t - state.forecastAt >= FORECAST_EVERY_SECONDS) {
    const trajectory = presentTrajectory(state, facts);
    state.forecast = forecastOf(state, facts, trajectory);
    state.whatIf = whatIf(state, facts, trajectory);
    state.forecastAt = t;
    out.push(state.forecast);
  }
  stepAlerts(state, facts, out);
  const isDisturbed = state.onStone.length > 0 || isOpen(state.lid);
  const advice = advise(state.adviser, facts, { isDisturbed, domeLimit: state.targets.domeLimit ?? null });
  if (!advice) return;
  adviseBack(state, facts, advice);
  out.push(advice);
}

function noteHighest(state: EngineState, { t, stone, low, high }: Facts): void {
  if (stone?.isFresh && stone.celsius >= low && stone.celsius <= high && state.onStone.length === 0)
    state.inBandAt = t;
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
    for (const alarm of endedAlarms(state, t))
      out.push(alertOutput(alarm, { kind: 'state', state: 'normal' }, t));
    evaluate(state, t, out, INFORMATIVE_EVENTS.has(input.event.event));
    return;
  }
  if (input.kind !== 'reading') return;
  const channel = channelNamed(state.channels, input.channel);
  if (!channel) return;
  const { celsius, quality, isLook = false } = input;
  if (isLook) listLook(state, input);
  if (isLook && t - input.t > LATE_LOOK_SECONDS) return;
  if (celsius !== null && quality !== 'bad' && (isLook || isSparse(channel, t))) {
    if (isOfThisWorld(celsius)) look(state, channel, { t, celsius }, out);
    evaluate(state, t, out, true);
    return;
  }
  if (celsius !== null && quality === 'good' && isOfThisWorld(celsius)) takeInto(channel, input.t, celsius);
  else takeDoubtful(channel, input.t);
  if (t - state.evaluatedAt >= EVALUATE_EVERY_SECONDS) evaluate(state, t, out);
}

/** A look that reached us later than this, s, is listed, but no look at the stone of now. */
const LATE_LOOK_SECONDS = 120;
/** More looks than so many nobody takes in a cook: those after are not listed, nor taken back. */
const MAX_LISTED_LOOKS = 500;

/** Puts a look among what people said. */
function listLook(state: EngineState, { t, id, channel, celsius }: EngineInput & { kind: 'reading' }): void {
  const { entries } = state.cook;
  if (celsius === null || entries.filter(({ event }) => event.event === 'look').length >= MAX_LISTED_LOOKS)
    return;
  state.cook = reduce(state.cook, { t, event: 'look', channel, celsius, ...(id !== undefined && { id }) });
}

/** A person looked. A stone that is measured has no need of it. */
function look(state: EngineState, channel: Channel, { t, celsius }: Look, out: EngineOutput[]): void {
  if (isFresh(channel, t) && channel.filter.every !== null) return;
  if (channel.filter.every === null) lookInstead(channel);
  if (!takeLookInto(channel, t, celsius)) return;
  follow(state, t);
  if (channel.role === 'dome') takeDial(state, t, channel);
  state.forecastAt = -1e6;
  if (channel.role !== 'stone') return;
  if (isDoubted(state, t, celsius)) return;
  assessLastLid(state, t);
  assessUnnoticed(state, t, true);
  const other = assessGuesses(state, t, celsius, LOOK_VARIANCE);
  takeLook(state, t, celsius, other);
  answerCall(state, t, out);
}

/** s. What was called just now needs no other call. */
const JUST_CALLED_SECONDS = 120;

/** The look that "likely ready" asked for: what it shows is called anew. */
function answerCall(state: EngineState, t: number, out: EngineOutput[]): void {
  const call = keptAlarm(state, 'stone-ready', null);
  if (!call || t - call.alarm.raisedAt <= JUST_CALLED_SECONDS) return;
  const move = end(call.alarm, t);
  if (move) out.push(alertOutput(call, move, t));
}

function step(state: EngineState, input: EngineInput): EngineOutput[] {
  const out: EngineOutput[] = [];
  if (!(Math.abs(input.t) < MAX_COOK_SECONDS)) return out;
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
    const guess = now || channel.role !== 'stone' ? null : guessOf(state, t);
    if (guess) {
      channels[channel.id] = {
        celsius: guess.celsius,
        error: guess.error,
        perMinute: guess.perMinute,
        perMinuteError: 0.6,
        lastGood: channel.filter.good,
        isEstimate: true,
        lookedAt: believedLookAt(state, channel),
      };
      continue;
    }
    channels[channel.id] = {
      celsius: now?.celsius ?? null,
      error: now?.error ?? null,
      perMinute: now ? 60 * now.perSecond : null,
      perMinuteError: now ? 60 * now.perSecondError : null,
      lastGood: channel.filter.good,
      isEstimate: false,
      lookedAt: believedLookAt(state, channel),
    };
  }
  const { state: name, since, why } = state.stone;
  return {
    state: name,
    since,
    why,
    channels,
    forecast: state.forecast,
    advice: state.adviser.lastAdvice,
    whatIf: state.whatIf,
    alerts: standing(state),
    lidOpen: state.lid.phase === 'open',
    lid: lidOf(state, t),
    onStone: state.onStone.map(({ pizza, launchedAt, turnAfter, offAfter, turnedAt }) => ({
      pizza,
      launchedAt,
      // What is to be off by then is not turned any more.
      turnAt: turnedAt === null && turnAfter !== null && turnAfter < offAfter ? launchedAt + turnAfter : null,
      offAt: launchedAt + offAfter,
    })),
  };
}

function lidOf({ lid, channels }: EngineState, t: number): LidState {
  if (lid.phase === 'open') return 'open';
  const dome = channelOf(channels, 'dome', t);
  return dome && isFresh(dome, t) ? 'shut' : 'unknown';
}

function standing({ alarms }: EngineState): EngineView['alerts'] {
  const found: EngineView['alerts'] = [];
  for (const record of alarms) {
    const { alert, pizza, alarm } = record;
    const { state, raisedAt, since, shelvedUntil } = alarm;
    if (state === 'normal') continue;
    const standing: EngineView['alerts'][number] = { alert, state, raisedAt, since, ...wordingOf(record) };
    if (shelvedUntil !== null) standing.shelvedUntil = shelvedUntil;
    if (pizza !== null) standing.pizza = pizza;
    found.push(standing);
  }
  return found;
}

/** A cook that never got hot teaches nothing. */
const learned = ({ prior, tracker, targets }: EngineState): GrillPrior | null =>
  learn(prior, tracker, targets.stone);

function* lessonOf(
  { tracker, targets }: EngineState,
  prior: GrillPrior | null,
): InPieces<GrillLesson | null> {
  const figures = warmUpFigures(tracker, targets.stone[0]);
  const found = yield* lesson(prior, tracker, targets.stone);
  return found && { prior: found.prior, fits: found.fits, ...figures };
}

const factsNow = (state: EngineState): Facts => factsOf(state, Math.max(state.t, state.evaluatedAt));

export const engine: Engine<EngineState> = {
  start: startState,
  step,
  view,
  ahead: (state, held) => runAhead(state, factsNow(state), held),
  back: (state, bake) => stoneBack(state, factsNow(state), bake),
  cook: (state) => state.cook,
  learned,
  lesson: lessonOf,
};
