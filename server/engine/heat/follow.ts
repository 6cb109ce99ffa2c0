import type { Role } from '../../../shared/words.ts';
import { channelOf, estimate, isFresh, type Channel } from '../estimate/channel.ts';
import { isOpen } from '../detect/lid.ts';
import type { EngineState } from '../engine-state.ts';
import { dialAt } from './dial.ts';
import { PIZZA, STEP } from './heat-history.ts';
import {
  begin,
  correct,
  handsOf,
  refit,
  retrack,
  slotAt,
  stepTracker,
  stepCount,
  varianceOf,
  type Tracker,
} from './tracker.ts';

/** A grill that is looked at was lit when the cook began, with a cold stone of about so many °C, if no later than this, s. */
const COLD = 20;
const LIT_BEFORE = 1500;
/** Variance of a look by an infrared thermometer, °C²: it and the spot differ by a degree or so. */
export const LOOK = 1.4;

/** The channel of a role that people look at, since nothing measures it. */
export const lookedAt = ({ channels }: EngineState, role: Role): Channel | null =>
  channels.find((channel) => channel.role === role && channel.looks.length > 0) ?? null;

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

/** Takes the model on to `t`, step by step, under the dome and what lies on the stone. */
export function follow(state: EngineState, t: number): void {
  const { tracker } = state;
  if (tracker.origin === null) {
    const channel = channelOf(state.channels, 'dome', t);
    const dome = channel && isFresh(channel, t) ? domeAt(state, t) : null;
    if (dome !== null) begin(tracker, t, dome);
  }
  const slot = slotAt(tracker, t);
  const isRough = lookedAt(state, 'dome') !== null;
  // After a long silence, the steps of it are none.
  for (let i = 0; stepCount(tracker) < slot && i < 3600 / STEP; i++) {
    const end = (tracker.origin ?? 0) + (stepCount(tracker) + 1) * STEP;
    const dome = domeAt(state, end);
    if (dome === null) return;
    stepTracker(tracker, dome, handsOf(isOpen(state.lid), state.onStone.length > 0, isRough));
    takeMeasured(state, end);
  }
}

/** A stone that is measured corrects the model every 30 s and fits it every 2 min, later every 5. */
const CORRECT_EVERY = 3;
const FIT_EVERY = 12;
const FIT_EVERY_LATER = 30;
const LATER = 360;
/** What changes little from one time to the next is found in one step. */
const STEADY_ROUNDS = 2;
/** Variance of what a probe says, °C²: half a minute's readings share its drift and lag. Under a pizza it is the skin's. */
const PROBE = 1;
const PROBE_COVERED = 9;

function takeMeasured({ channels, onStone, tracker }: EngineState, t: number): void {
  const slot = stepCount(tracker);
  if (slot % CORRECT_EVERY !== 0) return;
  const channel = channelOf(channels, 'stone', t);
  const now = channel && isFresh(channel, t) && channel.filter.every !== null ? estimate(channel, t) : null;
  if (!now) return;
  correct(tracker, now.celsius, onStone.length > 0 ? PROBE_COVERED : PROBE);
  if (slot % (slot < LATER ? FIT_EVERY : FIT_EVERY_LATER) === 0) refit(tracker, STEADY_ROUNDS);
}

/** What a person read off the dial of the dome: the time since the last look went otherwise than was thought. */
export function takeDial(state: EngineState, t: number, channel: Channel): void {
  const { tracker } = state;
  if (tracker.origin === null) {
    const isEarly = t < LIT_BEFORE && t > 0;
    begin(tracker, isEarly ? 0 : t, isEarly ? COLD : (channel.looks[0]?.celsius ?? COLD));
    if (isEarly) channel.looks.unshift({ t: 0, celsius: COLD });
    follow(state, t);
    return;
  }
  const { history, origin } = tracker;
  const from = channel.looks.at(-2)?.t ?? origin;
  if (!history) return;
  for (let i = Math.max(0, slotAt(tracker, from)); i < history.dome.length; i++)
    history.dome[i] = dialAt(channel.looks, origin + (i + 1) * STEP);
  refit(tracker);
}

/**
 * A look farther off than this, °C and standard errors, was of flour, oil or the peel, or something happened that nobody
 * saw: it is asked about, and believed when a second look within so long, s, says about the same.
 */
const FAR = 35;
const FAR_ERRORS = 5;
const REPEATED_WITHIN_SECONDS = 900;

/** What a person read off the stone. */
export function takeLook(state: EngineState, t: number, celsius: number): void {
  const { tracker } = state;
  const [most] = tracker.members;
  if (tracker.origin === null || !most || stepCount(tracker) === 0) return;
  const perSecond = (tracker.moves.at(-1) ?? 0) / STEP;
  const since = t - (tracker.origin + stepCount(tracker) * STEP);
  const then = celsius - perSecond * Math.max(0, Math.min(STEP, since));
  const off = then - most.heat.surface;
  const isFar = Math.abs(off) > Math.max(FAR, FAR_ERRORS * Math.sqrt(varianceOf(tracker) + LOOK));
  const { doubt } = tracker;
  const isRepeated =
    doubt !== null && t - doubt.t < REPEATED_WITHIN_SECONDS && Math.abs(celsius - doubt.celsius) < FAR / 2;
  if (isFar && !isRepeated) {
    tracker.doubt = { t, celsius, expected: most.heat.surface };
    return;
  }
  tracker.doubt = null;
  const before = most.heat.surface;
  const last = tracker.history?.looks.at(-1);
  correct(tracker, then, LOOK, isFar ? off ** 2 : 0);
  refit(tracker);
  const steps = stepCount(tracker) - 1 - (last?.slot ?? 0);
  if (!isFar) shiftDome(tracker, (tracker.members[0]?.heat.surface ?? before) - before, steps);
}

/**
 * What a look corrects has come about since the look before: so much of it goes into what the surface is taken to have
 * moved lately, and it counts for no shorter a time than so many steps. By `npm run bench:engine -- --tune leans` 0.6 costs
 * 0.544, none of it 0.550, more or less of it 0.539: of little weight.
 */
export const LEANS = { share: 0.6, least: 12 };

function shiftDome(tracker: Tracker, by: number, steps: number): void {
  const each = (LEANS.share * by) / Math.max(LEANS.least, steps);
  tracker.moves = tracker.moves.map((move) => move + each);
}

/** The pizzas of the stone were others than was thought: the steps since `from` are marked anew. */
export function remark(state: EngineState, from: number): void {
  const { tracker } = state;
  const { history, origin } = tracker;
  if (!history || origin === null) return;
  for (let i = Math.max(0, slotAt(tracker, from)); i < history.hands.length; i++) {
    const middle = origin + (i + 0.5) * STEP;
    const isCovered =
      state.onStone.some(({ launchedAt }) => launchedAt <= middle) ||
      state.takenOff.some(({ baking, at }) => baking.launchedAt <= middle && middle < at);
    history.hands[i] = ((history.hands[i] ?? 0) & ~PIZZA) + (isCovered ? PIZZA : 0);
  }
  retrack(tracker);
}

/** A useful estimate of a stone that nobody measures: better than this, one standard error, °C. */
const USEFUL = 25;

/** Estimate of the surface at `t`, °C, and its motion; null where nothing useful can be said. */
export function estimateOf(
  { tracker }: EngineState,
  t: number,
): { celsius: number; error: number; perMinute: number; change: number } | null {
  const { members, moves, origin, history } = tracker;
  const [most] = members;
  if (!most || !history || origin === null || (history.looks.length === 0 && !tracker.isTaught)) return null;
  const error = Math.sqrt(varianceOf(tracker));
  if (!(error < USEFUL)) return null;
  const perSecond = (moves.at(-1) ?? 0) / STEP;
  const since = Math.max(0, Math.min(STEP, t - (origin + tracker.steps * STEP)));
  const last = moves.slice(-6);
  return {
    celsius: most.heat.surface + perSecond * since,
    error,
    perMinute: (60 / STEP / Math.max(1, last.length)) * last.reduce((sum, x) => sum + x, 0),
    change: moves.reduce((sum, x) => sum + x, 0) * (120 / STEP / Math.max(1, moves.length)),
  };
}
