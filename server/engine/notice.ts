import type { EngineOutput, Why } from '../../shared/engine.ts';
import type { Noticed } from '../../shared/words.ts';
import { stepFuel } from './detect-fuel.ts';
import { lidByStone, stepLid, type LidMove } from './detect-lid.ts';
import { stepProbes } from './detect-probe.ts';
import { countLaunch, judgeOpening, launchAt, type OffJudgement } from './detect-pizza.ts';
import type { Baking, EngineState } from './engine-state.ts';
import { tenth, type Facts } from './facts.ts';
import { putOn, takeOff } from './pizzas.ts';

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
  noticeLaunch(state, facts, out);
  noticeOff(state, facts, out);
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

/** A tap or a notice of a launch within so long of another is of the same pizza, s. */
export const SAME = 90;

/** From the lid's opening to the pizza on the stone, s. */
const REACH = 6;

/** Nobody puts on or takes off through a shut lid: where none was seen to open, it did. */
function impliedLid({ lid }: EngineState, t: number, at: number, why: Why, out: EngineOutput[]): void {
  if (Math.abs(at - lid.openedAt) <= SAME) return;
  lid.openedAt = at;
  lid.closedAt = Math.max(lid.closedAt, at);
  out.push(tell(t, 'lid-open', at, 0.7, why));
}

function noticeLaunch(
  state: EngineState,
  { t, stoneChannel, stone, dome }: Facts,
  out: EngineOutput[],
): void {
  if (!stoneChannel || !stone?.isFresh) return;
  const launch = launchAt(state.watch, stoneChannel, t);
  if (!launch) return;
  countLaunch(state.watch, t, launch.fall);
  if (state.onStone.some(({ launchedAt }) => Math.abs(launchedAt - launch.at) < SAME)) return;
  if (!dome?.isFresh) impliedLid(state, t, launch.at - REACH, { fall: tenth(launch.fall) }, out);
  // One stone holds one pizza that nobody told of: the one before must have come off.
  for (const baking of state.onStone.filter((one) => !one.isConfirmed))
    takeOff(state, baking, launch.at, null);
  putOn(state, { launchedAt: launch.at, pizza: null, eventId: null, isConfirmed: false });
  out.push(
    tell(t, 'launch', launch.at, launch.confidence, {
      fall: tenth(launch.fall),
      before: tenth(launch.before),
    }),
  );
}

function noticeProbes(state: EngineState, t: number, out: EngineOutput[]): void {
  const isBusy = [state.offAt, state.onStone.at(-1)?.launchedAt].some((at) => t - (at ?? -1e6) < 2 * SAME);
  for (const { event, leap, partner } of stepProbes(state.probes, state.channels, t, isBusy)) {
    const { channel, from, to } = leap;
    const why: Why = { channel, from: tenth(from), to: tenth(to) };
    out.push(tell(t, event, leap.t, 0.8, partner ? { ...why, with: partner.channel } : why));
  }
}

/** Nobody leaves a pizza on for so much longer than it takes, s. */
const FORGOTTEN = 420;

function noticeOff(state: EngineState, facts: Facts, out: EngineOutput[]): void {
  const { t, stoneChannel } = facts;
  const { watch } = state;
  const baking = state.onStone.at(-1);
  if (!baking || !stoneChannel) {
    watch.lidAt = null;
    return;
  }
  forget(state, t);
  if (watch.lidAt === null) return offByStone(state, facts, baking, out);
  if (watch.lidAt < baking.launchedAt + 60) {
    watch.lidAt = null;
    return;
  }
  const judged = judgeOpening(stoneChannel, baking, watch.lidAt, t);
  if (!judged) return;
  watch.lidAt = null;
  if (judged.isOff) tellOff(state, t, baking, judged, out);
}

function tellOff(
  state: EngineState,
  t: number,
  baking: Baking,
  judged: OffJudgement,
  out: EngineOutput[],
): void {
  takeOff(state, baking, judged.at, null);
  const onFor = Math.round(judged.at - baking.launchedAt);
  out.push(tell(t, 'off', judged.at, judged.confidence, { bend: tenth(judged.bend), onFor }));
}

/** Log-odds that the stone alone must give where no lid was seen. */
const ALONE = 0.88;
/** The same where a dome saw no lid: it takes more. */
const UNSEEN = 0.97;
/** What the stone must bend up, °C/min. */
const BEND = 2.5;

/** No lid was seen: any moment a while ago may have been the one, if the stone climbs since then. */
function offByStone(
  state: EngineState,
  { t, stoneChannel, dome }: Facts,
  baking: Baking,
  out: EngineOutput[],
): void {
  if (!stoneChannel || t - baking.launchedAt < 260) return;
  const judged = judgeOpening(stoneChannel, baking, t - 90, t);
  const needed = dome?.isFresh ? UNSEEN : ALONE;
  if (!judged?.isOff || judged.bend <= BEND || judged.confidence <= needed) return;
  impliedLid(state, t, judged.at - REACH, { bend: tenth(judged.bend) }, out);
  tellOff(state, t, baking, judged, out);
}

function forget(state: EngineState, t: number): void {
  const late = (one: Baking): boolean => !one.isConfirmed && t > one.launchedAt + one.offAfter + FORGOTTEN;
  for (const baking of state.onStone.filter(late)) takeOff(state, baking, t, null);
}
