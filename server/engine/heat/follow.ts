import { channelOf, estimate, isFresh, type Channel } from '../estimate/channel.ts';
import { isOpen } from '../detect/lid-detector.ts';
import type { EngineState } from '../engine-state.ts';
import { dialAt } from './dial.ts';
import { asOfStep, isFar, isStartSupposed, LOOK_VARIANCE, lookedAt, sharedVariance } from './doubt.ts';
import { PIZZA_FLAG, STEP_SECONDS } from './heat-history.ts';
import { bareHypothesis, likelyStone, stepAll, type Common, type Hypothesis } from './hypotheses.ts';
import { update } from './kalman.ts';
import {
  begin,
  correct,
  handsOf,
  refit,
  refitToLook,
  retrack,
  slotAt,
  stepTracker,
  stepCount,
  varianceOf,
  type Tracker,
} from './tracker.ts';

/**
 * A grill that is looked at was lit when the cook began, with a cold stone of about so many °C, if no later than this, s, and
 * if dome and stone can have come so far since, °C/s (our own estimate: a dome is at 250 °C after 6 min at the soonest).
 */
const COLD_STONE_CELSIUS = 20;
const LIT_BEFORE_SECONDS = 1500;
const FASTEST_CLIMB = { dome: 0.7, stone: 0.4 };
/** The dome at `t`, measured, read off or as it was last; null before anything was known of it. */
function domeAt(state: EngineState, t: number): number | null {
  const channel = channelOf(state.channels, 'dome', t);
  const looked = lookedAt(state, 'dome');
  if (channel && (isFresh(channel, t) || !looked)) {
    const since = Math.min(t, (channel.filter.good ?? t) + 5);
    return estimate(channel, since)?.celsius ?? null;
  }
  return looked ? dialAt(looked.looks, t) : null;
}

/**
 * A lid that nobody said to be open is taken for shut after so long, s: a dome's probe that lags shows it as open for up to
 * three times as long as it is. On 122 cooks of the half to tune on, looked at every 5 min, nine of ten errors of the
 * stone are within 5.7 °C instead of 6.3 without this limit, and false calls 0.23 instead of 0.29 an hour; 20 to 40 do the same.
 */
const UP_AT_MOST = 30;

/** Takes the model on to `t`, step by step, under the dome and what lies on the stone. */
export function follow(state: EngineState, t: number): void {
  const { tracker } = state;
  if (tracker.origin === null) {
    const channel = channelOf(state.channels, 'dome', t);
    const dome = channel && isFresh(channel, t) ? domeAt(state, t) : null;
    if (dome !== null && lookedAt(state, 'stone')) return beginAtLook(state, t, dome);
    if (dome !== null) begin(tracker, t, dome);
  }
  const slot = slotAt(tracker, t);
  const isRough = lookedAt(state, 'dome') !== null;
  // After a long silence, the steps of it are none.
  for (let i = 0; stepCount(tracker) < slot && i < 3600 / STEP_SECONDS; i++) {
    const end = (tracker.origin ?? 0) + (stepCount(tracker) + 1) * STEP_SECONDS;
    const dome = domeAt(state, end);
    if (dome === null) return;
    const isUp = isOpen(state.lid) && (state.lid.isTapped || end - state.lid.openedAt <= UP_AT_MOST);
    const hands = handsOf(isUp, state.onStone.length > 0, isRough);
    stepTracker(tracker, dome, hands);
    takeMeasured(state, end);
    followUnseen(state, end, dome, hands);
  }
}

/** How old the last look at the stone may be, s, to say how warm it is where the dome is seen for the first time. */
const LOOK_LASTS = 600;

/** Begins with a dome of now over a stone that was looked at before: the step that ends now is the first. */
function beginAtLook(state: EngineState, t: number, dome: number): void {
  begin(state.tracker, t - STEP_SECONDS, dome);
  follow(state, t);
  const look = lookedAt(state, 'stone')?.looks.at(-1);
  if (look && t - look.t < LOOK_LASTS) takeLook(state, t, look.celsius, null);
}

/** Takes the hypotheses of a stone that nobody measures one step on. What people tapped, or a probe shows, needs no guess. */
function followUnseen(state: EngineState, t: number, dome: number, hands: number): void {
  const { tracker } = state;
  const [most] = tracker.members;
  const channel = channelOf(state.channels, 'stone', t);
  const isKnown = state.onStone.some(({ isConfirmed }) => isConfirmed) || (channel && isFresh(channel, t));
  if (!most || !tracker.history || isKnown || (tracker.history.looks.length === 0 && !tracker.isTaught)) {
    tracker.hypotheses = [];
    return;
  }
  if (tracker.hypotheses.length === 0) {
    beginHypotheses(state, t);
    return;
  }
  const common = { p: most.p, dome, ground: tracker.history.ground, hands };
  stepAll(tracker.hypotheses, common);
}

/** All hypotheses start from what is known now. */
function beginHypotheses({ tracker, onStone }: EngineState, t: number): void {
  const [most] = tracker.members;
  if (!most) return;
  const hypothesis = bareHypothesis(most, tracker.moves);
  hypothesis.launchedAt = onStone.at(-1)?.launchedAt ?? null;
  tracker.hypotheses = [hypothesis];
  tracker.hypothesesSince = t;
}

/** What all hypotheses have in common now; null before a dome was seen. */
export function commonOf(state: EngineState, t: number): Common | null {
  const { history, members } = state.tracker;
  const dome = domeAt(state, t);
  const [most] = members;
  return history && most && dome !== null ? { p: most.p, dome, ground: history.ground, hands: 0 } : null;
}

/** A stone that is measured corrects the model every 30 s and fits it every 2 min, later every 5. */
const CORRECT_EVERY_STEPS = 3;
const FIT_EVERY_STEPS = 12;
const FIT_EVERY_STEPS_LATER = 30;
const LATER_STEPS = 360;
/** What changes little from one time to the next is found in one step. */
const STEADY_ROUNDS = 2;
/** Variance of what a probe says, °C²: half a minute's readings share its drift and lag. Under a pizza it is the skin's. */
const PROBE_VARIANCE = 1;
const COVERED_PROBE_VARIANCE = 9;

function takeMeasured({ channels, onStone, tracker }: EngineState, t: number): void {
  const slot = stepCount(tracker);
  if (slot % CORRECT_EVERY_STEPS !== 0) return;
  const channel = channelOf(channels, 'stone', t);
  const now = channel && isFresh(channel, t) && channel.filter.every !== null ? estimate(channel, t) : null;
  if (!now) return;
  correct(tracker, now.celsius, onStone.length > 0 ? COVERED_PROBE_VARIANCE : PROBE_VARIANCE);
  if (slot % (slot < LATER_STEPS ? FIT_EVERY_STEPS : FIT_EVERY_STEPS_LATER) === 0)
    refit(tracker, STEADY_ROUNDS);
}

/** Whether all that was read of dome and stone can have come about since the cook began with a cold grill. */
function isLitSinceStart(state: EngineState, t: number, dome: Channel): boolean {
  const can = (channel: Channel | null, perSecond: number): boolean =>
    (channel?.looks ?? []).every((look) => look.celsius - COLD_STONE_CELSIUS <= perSecond * look.t);
  return (
    t > 0 &&
    t < LIT_BEFORE_SECONDS &&
    can(dome, FASTEST_CLIMB.dome) &&
    can(lookedAt(state, 'stone'), FASTEST_CLIMB.stone)
  );
}

/** What a person read off the dial of the dome: the time since the last look went otherwise than was thought. */
export function takeDial(state: EngineState, t: number, channel: Channel): void {
  const { tracker } = state;
  if (tracker.origin === null) {
    if (!isLitSinceStart(state, t, channel))
      return beginAtLook(state, t, channel.looks.at(-1)?.celsius ?? COLD_STONE_CELSIUS);
    begin(tracker, 0, COLD_STONE_CELSIUS);
    channel.looks.unshift({ t: 0, celsius: COLD_STONE_CELSIUS });
    follow(state, t);
    return;
  }
  const { history, origin } = tracker;
  const from = channel.looks.at(-2)?.t ?? origin;
  if (!history) return;
  for (let i = Math.max(0, slotAt(tracker, from)); i < history.dome.length; i++)
    history.dome[i] = dialAt(channel.looks, origin + (i + 1) * STEP_SECONDS);
  refitToLook(tracker, channel.looks.length);
}

/** A look so many standard errors off shows that the stone leapt for a reason not known. */
const LEAP_STANDARD_ERRORS = 2.5;

/**
 * What a person read off the stone. @param other what may have been otherwise since the last look: followed on beside what
 * is taken for so
 */
export function takeLook(state: EngineState, t: number, celsius: number, other: Hypothesis | null): void {
  const { tracker } = state;
  const [most] = tracker.members;
  if (tracker.origin === null || !most || stepCount(tracker) === 0) return;
  tracker.doubt = null;
  const dome = domeAt(state, t);
  // The fire burned before the cook began: the look says so.
  if (dome !== null && isStartSupposed(state) && isFar(state, t, celsius, LEAP_STANDARD_ERRORS))
    return beginAtLook(state, t, dome);
  const then = asOfStep(state, t, celsius);
  noteSurprise(tracker, then);
  const off = then - most.heat.surface;
  const variance = varianceOf(tracker) + LOOK_VARIANCE;
  const leap = off ** 2 > LEAP_STANDARD_ERRORS ** 2 * variance ? off ** 2 - variance : 0;
  correct(tracker, then, LOOK_VARIANCE, leap);
  refitToLook(tracker, lookedAt(state, 'stone')?.looks.length ?? 0);
  beginHypotheses(state, t);
  const [taken] = tracker.hypotheses;
  if (!other || !taken || taken.launchedAt !== null) return;
  update(other.heat, other.P, then, LOOK_VARIANCE);
  taken.probability = 1 - other.probability;
  tracker.hypotheses.push(other);
}

/** What a later look takes from the weight of those before. */
const FORGETTING_FACTOR = 0.85;
const MAX_SURPRISE = 9;

/** How far off looks are, beside how far off they should be: errors are scaled by that. */
function noteSurprise(tracker: Tracker, celsius: number): void {
  const likely = likelyStone(tracker.hypotheses);
  if (!likely) return;
  const { surprise } = tracker;
  const normalised =
    (celsius - likely.heat.surface) ** 2 / (likely.P.ss + sharedVariance(tracker) + LOOK_VARIANCE);
  surprise.sum = FORGETTING_FACTOR * surprise.sum + Math.min(MAX_SURPRISE, normalised);
  surprise.count = FORGETTING_FACTOR * surprise.count + 1;
}

/** The pizzas of the stone were others than was thought: the steps since `from` are marked anew. */
export function remark(state: EngineState, from: number): void {
  const { tracker } = state;
  const { history, origin } = tracker;
  if (!history || origin === null) return;
  for (let i = Math.max(0, slotAt(tracker, from)); i < history.hands.length; i++) {
    const middle = origin + (i + 0.5) * STEP_SECONDS;
    const isCovered =
      state.onStone.some(({ launchedAt }) => launchedAt <= middle) ||
      state.takenOff.some(({ baking, at }) => baking.launchedAt <= middle && middle < at);
    history.hands[i] = ((history.hands[i] ?? 0) & ~PIZZA_FLAG) + (isCovered ? PIZZA_FLAG : 0);
  }
  retrack(tracker);
}
