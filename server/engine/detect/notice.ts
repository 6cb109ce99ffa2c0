import type { EngineOutput } from '../../../shared/engine.ts';
import { SAME_LAUNCH_SECONDS } from '../../../shared/cook/bakes.ts';
import type { Noticed, Why } from '../../../shared/words.ts';
import type { Channel } from '../estimate/channel.ts';
import { stepFuel } from './fuel.ts';
import { lidByStone, stepLid, type LidMove } from './lid-detector.ts';
import { assessLid, assessUnnoticed, followHypotheses } from './hands.ts';
import { stepProbes } from './moved-probes.ts';
import {
  assessOpening,
  countLaunch,
  launchAt,
  LID_TO_STONE_SECONDS,
  slowLaunchAt,
  type Launch,
  type OffAssessment,
} from './pizza-detector.ts';
import type { Baking, EngineState } from '../engine-state.ts';
import { tenth, type Facts } from '../estimate/facts.ts';
import { putOn, takeOff } from '../pizzas-on-stone.ts';

/** What nobody tapped, read off the curves. */
export function notice(state: EngineState, facts: Facts, out: EngineOutput[]): void {
  const { domeChannel, stoneChannel } = facts;
  const move =
    facts.dome?.isFresh && domeChannel
      ? stepLid(state.lid, domeChannel, stoneChannel, facts.t)
      : byStone(state, facts);
  if (move) tellLid(state, facts, move, out);
  const fuelled = stepFuel(state.fuel, state, facts);
  if (fuelled) {
    const why = { openFor: Math.round(fuelled.open), dome: tenth(fuelled.dome) };
    out.push(tell(facts.t, 'fuel', fuelled.at, 0.5, why));
  }
  if (stoneChannel) {
    noticeLaunch(state, facts, out);
    noticeOff(state, facts, out);
  } else noticeHands(state, facts, out);
  noticeProbes(state, facts.t, out);
}

/** The dome is not there, or has been silent for long. */
function byStone({ lid }: EngineState, { t, stone, stoneChannel, domeChannel }: Facts): LidMove | null {
  const isSilent = t - (domeChannel?.filter.good ?? -1e6) > 60;
  return isSilent && stone?.isFresh && stoneChannel ? lidByStone(lid, stoneChannel, t) : null;
}

function tell(t: number, event: Noticed, at: number, confidence: number, why: Why): EngineOutput {
  return { t, type: 'noticed', event, at, confidence, why };
}

function tellLid(state: EngineState, { t, dome }: Facts, move: LidMove, out: EngineOutput[]): void {
  const why = { dome: tenth(dome?.celsius ?? 0), drop: tenth(move.drop) };
  out.push(tell(t, move.event, move.at, move.confidence, why));
  if (move.event === 'vent') {
    state.ventAt = move.at;
    state.forecastAt = -1e6;
  }
  if (move.event === 'lid-open' && state.onStone.length > 0) state.watch.lidAt ??= move.at;
}

const SAME_LAUNCH = SAME_LAUNCH_SECONDS;

/** Nobody puts on or takes off through a shut lid: where none was seen to open, it did. */
function impliedLid({ lid }: EngineState, t: number, at: number, why: Why, out: EngineOutput[]): void {
  if (Math.abs(at - lid.openedAt) <= SAME_LAUNCH) return;
  lid.openedAt = at;
  lid.closedAt = Math.max(lid.closedAt, at);
  out.push(tell(t, 'lid-open', at, 0.7, why));
}

/** Whoever opens the lid for a look has typed it in by then, s. */
const TYPED_WITHIN_SECONDS = 45;

/**
 * Assesses the last opening of the lid once that is due; to be called before a look is taken in, since it came before.
 * @returns whether it was due
 */
export function assessLastLid(state: EngineState, t: number): boolean {
  const { lid, watch } = state;
  const isDue =
    lid.phase !== 'suspected' && lid.openedAt > watch.assessedLid && t >= lid.openedAt + TYPED_WITHIN_SECONDS;
  if (!isDue) return false;
  // What was no lid after all was dropped with its time.
  watch.assessedLid = lid.openedAt;
  if (lid.wasOpen && lid.openedAt > watch.judgedTo) assessLid(state, t, lid.openedAt);
  return true;
}

/** Nobody measures the stone: lid and time tell. */
function noticeHands(state: EngineState, { t }: Facts, out: EngineOutput[]): void {
  const { lid } = state;
  const isToAssess = assessLastLid(state, t);
  assessUnnoticed(state, t, false);
  const hands = followHypotheses(state);
  if (!hands) return;
  const why: Why = isToAssess && lid.wasOpen ? { lidOpenFor: Math.round(t - lid.openedAt) } : {};
  out.push(tell(t, hands.what, hands.at, hands.confidence, why));
}

/** Some tap first and then fetch the pizza: a fall so long after the tap, s, is of that pizza and not of another. */
const TAPPED_BEFORE_SECONDS = 180;
const isLaunchOf = ({ launchedAt, isConfirmed }: Baking, at: number): boolean =>
  Math.abs(launchedAt - at) < SAME_LAUNCH ||
  (isConfirmed && at > launchedAt && at - launchedAt < TAPPED_BEFORE_SECONDS);

function noticeLaunch(
  state: EngineState,
  { t, stoneChannel, stone, dome }: Facts,
  out: EngineOutput[],
): void {
  if (!stoneChannel || !stone?.isFresh) return;
  const launch = launchAt(state.watch, stoneChannel, t) ?? slowLaunch(state, stoneChannel, t);
  if (!launch) return;
  countLaunch(state.watch, t, launch.fall);
  if (state.onStone.some((baking) => isLaunchOf(baking, launch.at))) return;
  if (!dome?.isFresh)
    impliedLid(state, t, launch.at - LID_TO_STONE_SECONDS, { fall: tenth(launch.fall) }, out);
  // One stone holds one pizza that nobody told of: the one before must have come off.
  for (const baking of state.onStone.filter((baking) => !baking.isConfirmed))
    takeOff(state, baking, launch.at, null);
  putOn(state, { launchedAt: launch.at });
  out.push(
    tell(t, 'launch', launch.at, launch.confidence, {
      fall: tenth(launch.fall),
      before: tenth(launch.before),
    }),
  );
}

/** Where something lies on the stone already, its turn lets it fall too. */
const slowLaunch = ({ onStone, lid, watch }: EngineState, stone: Channel, t: number): Launch | null =>
  onStone.length > 0 || !lid.wasOpen ? null : slowLaunchAt(watch, stone, lid.openedAt, t);

function noticeProbes(state: EngineState, t: number, out: EngineOutput[]): void {
  const isBusy = [state.offAt, state.onStone.at(-1)?.launchedAt].some(
    (at) => t - (at ?? -1e6) < 2 * SAME_LAUNCH,
  );
  for (const { event, leap, partner } of stepProbes(state.probes, state.channels, t, isBusy)) {
    const { channel, from, to } = leap;
    const why: Why = { channel, from: tenth(from), to: tenth(to) };
    out.push(tell(t, event, leap.t, 0.8, partner ? { ...why, with: partner.channel } : why));
  }
}

/** Nobody leaves a pizza on for so much longer than it takes, s. */
const FORGOTTEN_AFTER_SECONDS = 420;

/** Through a lid opened sooner after the launch than this, s, nothing comes off. */
const MIN_BAKE_SECONDS = 60;
/** Of a launch that was tapped: who taps takes no pizza off unsaid before this share of its time. */
const MIN_TAPPED_SHARE = 0.5;
const leastBake = ({ isConfirmed, offAfter }: Baking): number =>
  isConfirmed ? Math.max(MIN_BAKE_SECONDS, MIN_TAPPED_SHARE * offAfter) : MIN_BAKE_SECONDS;

function noticeOff(state: EngineState, facts: Facts, out: EngineOutput[]): void {
  const { t, stoneChannel } = facts;
  const { watch } = state;
  const baking = state.onStone.at(-1);
  if (!baking || !stoneChannel || baking.seenOffAt !== null) {
    watch.lidAt = null;
    return;
  }
  forget(state, t);
  suspectLid(state);
  if (watch.lidAt === null) return offByStone(state, facts, baking, out);
  if (watch.lidAt < baking.launchedAt + leastBake(baking)) {
    watch.lidAt = null;
    return;
  }
  const assessment = assessOpening(stoneChannel, baking, watch.lidAt, t);
  if (!assessment) return;
  watch.lidAt = null;
  if (assessment.isOff) tellOff(state, t, baking, assessment, out);
}

/** While a pizza bakes, a dome that fell all at once most often did so under the lid, even if it does not come back. */
function suspectLid({ lid, watch }: EngineState): void {
  if (lid.phase === 'shut' || lid.openedAt <= watch.assessedLid) return;
  watch.assessedLid = lid.openedAt;
  watch.lidAt ??= lid.openedAt;
}

function tellOff(
  state: EngineState,
  t: number,
  baking: Baking,
  assessment: OffAssessment,
  out: EngineOutput[],
): void {
  // Whoever said that it went on says when it is off: until then it is called off in time.
  if (baking.isConfirmed) baking.seenOffAt = assessment.at;
  else takeOff(state, baking, assessment.at, null);
  const onFor = Math.round(assessment.at - baking.launchedAt);
  out.push(tell(t, 'off', assessment.at, assessment.confidence, { bend: tenth(assessment.bend), onFor }));
}

/** Log-odds that the stone alone must give where no lid was seen. */
const STONE_ALONE_LOG_ODDS = 0.88;
/** The same where a dome saw no lid: it takes more. */
const UNSEEN_LID_LOG_ODDS = 0.97;
/** What the stone must bend up, °C/min, beyond so many standard errors: a probe that is noisy bends all the time. */
const MIN_BEND_PER_MINUTE = 2.5;
const BEYOND_ERRORS = 3;

/** No lid was seen: any moment a while ago may have been the one, if the stone climbs since then. */
function offByStone(
  state: EngineState,
  { t, stoneChannel, dome }: Facts,
  baking: Baking,
  out: EngineOutput[],
): void {
  if (!stoneChannel || t - baking.launchedAt < Math.max(260, leastBake(baking))) return;
  const assessment = assessOpening(stoneChannel, baking, t - 90, t);
  const needed = dome?.isFresh ? UNSEEN_LID_LOG_ODDS : STONE_ALONE_LOG_ODDS;
  if (!assessment?.isOff || assessment.confidence <= needed) return;
  if (assessment.bend - BEYOND_ERRORS * assessment.error <= MIN_BEND_PER_MINUTE) return;
  impliedLid(state, t, assessment.at - LID_TO_STONE_SECONDS, { bend: tenth(assessment.bend) }, out);
  tellOff(state, t, baking, assessment, out);
}

function forget(state: EngineState, t: number): void {
  const late = (baking: Baking): boolean =>
    !baking.isConfirmed && t > baking.launchedAt + baking.offAfter + FORGOTTEN_AFTER_SECONDS;
  for (const baking of state.onStone.filter(late)) takeOff(state, baking, t, null);
}
