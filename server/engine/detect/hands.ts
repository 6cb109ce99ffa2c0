import type { EngineState } from '../engine-state.ts';
import { lookedAt, sharedVariance } from '../heat/doubt.ts';
import { commonOf, remark } from '../heat/follow.ts';
import {
  branch,
  coveredOf,
  LAUNCH_LID,
  likeliest,
  weigh,
  type Common,
  type Hypothesis,
} from '../heat/hypotheses.ts';
import { putOn, takeOff } from '../pizzas-on-stone.ts';
import { channelOf } from '../estimate/channel.ts';
import { JUDGED_AFTER_SECONDS, lidEvidence, LID_LIKELIHOOD, usualAfter } from './lid-evidence.ts';
import { lidOdds } from './odds.ts';
import { LID_TO_STONE_SECONDS } from './pizza-detector.ts';

/**
 * What was done under an open lid where nobody measures the stone: put on, turned, taken off, or only looked. The lid and
 * the time tell how probable each is, and the next look at the stone, which lies free then, decides. Times s.
 */

/**
 * A look typed in so long after the lid went up is what it was opened for: the stone lay free then. One typed in before
 * was through an opening of its own.
 */
const LOOK_WITHIN_SECONDS = 45;
/** What is likelier than not by so much is taken for so. */
const LIKELY_ON_PROBABILITY = 0.55;
const LIKELY_OFF_PROBABILITY = 0.45;

export type Hands = { what: 'launch' | 'off'; at: number; confidence: number };

/** Assesses the opening at `openedAt`, some time after it. */
export function assessLid(state: EngineState, t: number, openedAt: number): void {
  const looked = lookedAt(state, 'stone')?.looks.at(-1)?.t ?? -1e6;
  if (looked >= openedAt && looked - openedAt < LOOK_WITHIN_SECONDS) return;
  const { tracker } = state;
  const common = commonOf(state, t);
  if (!common || tracker.hypotheses.length === 0) return;
  const at = openedAt + LID_TO_STONE_SECONDS;
  branchAt(state, at, t, { seconds: SLOT_SECONDS, ratio: LID_LIKELIHOOD.most }, common);
  if (coveredOf(tracker.hypotheses) > LIKELY_OFF_PROBABILITY)
    for (const baking of state.onStone)
      if (openedAt - baking.launchedAt > LAUNCH_LID) baking.turnedAt ??= openedAt;
}

/** `ratio`: of lidOdds. */
type Seen = { seconds: number; ratio: number | null };

function branchAt(state: EngineState, at: number, t: number, { seconds, ratio }: Seen, common: Common): void {
  const { tracker } = state;
  const of = lidOdds(state, at, seconds, ratio);
  tracker.hypotheses = branch(tracker.hypotheses, { at, late: t - at, of }, common);
}

/** What the dome says of a lid is judged so many seconds at a time. */
const SLOT_SECONDS = 30;
/** More of them are not made up for after a silence. */
const MAX_SLOTS = 10;
/** A lid that was noticed is judged by itself: so long before and after it, s, the dome says nothing of another. */
const NOTICED_LID_SECONDS = { before: 75, after: 45 };
const SAME_LID_SECONDS = 20;
/** Before a look, all is judged up to so long before it, s, by what there is. */
const BEFORE_LOOK_SECONDS = 25;

/** Judges whether a lid went up that was not noticed, up to what the dome shows by `t`. @param isLook a look is to be taken in now */
export function assessUnnoticed(state: EngineState, t: number, isLook: boolean): void {
  const { tracker, watch, lid } = state;
  if (tracker.hypotheses.length === 0) return;
  const dome = channelOf(state.channels, 'dome', t);
  const end = dome ? t - (isLook ? BEFORE_LOOK_SECONDS : JUDGED_AFTER_SECONDS) : t;
  watch.judgedTo = Math.max(watch.judgedTo, tracker.hypothesesSince, end - MAX_SLOTS * SLOT_SECONDS);
  const least = isLook ? 1 : SLOT_SECONDS;
  const common = end - watch.judgedTo >= least ? commonOf(state, t) : null;
  if (!common) return;
  while (end - watch.judgedTo >= least) {
    const from = watch.judgedTo;
    const to = Math.min(end, from + SLOT_SECONDS);
    watch.judgedTo = to;
    const seen = dome ? lidEvidence(dome.bins, from, to, watch.usualDip) : { at: to, ratio: 1, celsius: 0 };
    const isNoticed = (openedAt: number): boolean =>
      seen.at > openedAt - NOTICED_LID_SECONDS.before && seen.at < openedAt + NOTICED_LID_SECONDS.after;
    const isOfNoticed = (lid.wasOpen && isNoticed(lid.openedAt)) || isNoticed(watch.assessedLid);
    const isSame = Math.abs(seen.at - (lid.wasOpen ? lid.openedAt : watch.assessedLid)) < SAME_LID_SECONDS;
    watch.usualDip = usualAfter(watch.usualDip, seen, isOfNoticed && isSame);
    if (isOfNoticed) continue;
    branchAt(state, seen.at, t, { seconds: to - from, ratio: dome ? seen.ratio : null }, common);
  }
}

/** The lid is up, or was, and nobody knows yet what for. */
export const isUnassessed = ({ lid, watch }: EngineState): boolean =>
  (lid.phase !== 'shut' || lid.wasOpen) && lid.openedAt > Math.max(watch.assessedLid, watch.judgedTo);

/** Brings what is taken to lie on the stone in line with what is likely. @returns what was done, where that is news */
export function followHypotheses(state: EngineState): Hands | null {
  const { hypotheses } = state.tracker;
  if (hypotheses.length === 0) return null;
  const covered = coveredOf(hypotheses);
  const guess = state.onStone.find(({ isConfirmed }) => !isConfirmed);
  if (!guess && covered > LIKELY_ON_PROBABILITY) {
    const at = likeliest(hypotheses, true)?.launchedAt ?? state.t;
    putOn(state, { launchedAt: at });
    remark(state, at);
    return { what: 'launch', at, confidence: covered };
  }
  if (!guess || covered >= LIKELY_OFF_PROBABILITY) return null;
  const at = likeliest(hypotheses, false)?.spells.at(-1)?.to;
  if (at === undefined) state.onStone = state.onStone.filter((baking) => baking !== guess);
  else takeOff(state, guess, at, null);
  remark(state, Math.min(guess.launchedAt, at ?? Infinity));
  return at === undefined ? null : { what: 'off', at, confidence: 1 - covered };
}

/**
 * Somebody looked at the stone: it lies free. What was only guessed since the look before becomes what explains this one
 * best. To be called before the look is taken in. @returns the best of the hypotheses that say otherwise
 */
export function assessGuesses(
  state: EngineState,
  t: number,
  celsius: number,
  variance: number,
): Hypothesis | null {
  const { tracker } = state;
  const weighed = weigh(tracker.hypotheses, celsius, variance + sharedVariance(tracker));
  if (!weighed) return null;
  const { found, other } = weighed;
  if (other) {
    other.spells = spellsOf(other, t);
    other.launchedAt = null;
  }
  const spells = spellsOf(found, t);
  const from = Math.min(tracker.hypothesesSince, ...spells.map((spell) => spell.from));
  const isOfThis = ({ isConfirmed, launchedAt }: { isConfirmed: boolean; launchedAt: number }): boolean =>
    !isConfirmed && launchedAt >= from;
  const had = state.onStone.some(isOfThis) || state.takenOff.some(({ baking }) => isOfThis(baking));
  if (!had && spells.length === 0) return other;
  state.onStone = state.onStone.filter((baking) => !isOfThis(baking));
  state.takenOff = state.takenOff.filter(({ baking }) => !isOfThis(baking));
  state.offAt = state.takenOff.at(-1)?.at ?? null;
  for (const spell of spells) takeOff(state, putOn(state, { launchedAt: spell.from }), spell.to, null);
  remark(state, from);
  return other;
}

/** What lies there as far as is known came off just now. */
const JUST_OFF_SECONDS = 20;
const spellsOf = ({ spells, launchedAt }: Hypothesis, t: number): Hypothesis['spells'] =>
  launchedAt === null
    ? spells
    : [...spells, { from: launchedAt, to: Math.max(launchedAt + JUST_OFF_SECONDS, t - JUST_OFF_SECONDS) }];
