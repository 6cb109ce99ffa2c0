import type { ParametersOf } from '../../../../shared/alert/kinds.ts';
import type { EngineState } from '../../engine-state.ts';
import { tenth, type Facts } from '../../estimate/facts.ts';
import { lookedAt } from '../../heat/doubt.ts';
import {
  NO_DELAY,
  isRough,
  keptAlarm,
  minutes,
  whole,
  type AlertCondition,
  type Evaluation,
} from '../condition.ts';

/** A look decides something: no look since so long, s; ready or over within so long; an estimate so unsure, °C. */
const LOOK_WORTH = { since: 150, ready: 150, over: 600, unsure: 2.5, every: 240 };
/**
 * Nobody who does not look is asked all evening: a request lapses after so long, s, and the next comes only after as long again
 * as nobody had looked by then. Our choice.
 */
const LAPSES_AFTER_SECONDS = 600;

/** Seconds from a request to the next, given since when nobody has looked. */
const nextAfter = (askedAt: number, unseenSince: number): number =>
  Math.max(LOOK_WORTH.every, askedAt - unseenSince);

/** Nor since so long, s, with the stone not further below its band than this, °C, and known too roughly to act on. */
const LOST_SIGHT = { since: 360, below: 30 };

/** A dome that is so near the stone's band, °C below it, over a stone that nobody knows: so long after the last look, s. */
const UNSEEN_STONE = { below: 30, since: 150 };

/** Whether the fire is as hot as it has to be, and the stone is looked at only, or not at all, and not known by that. */
function isUnseen(state: EngineState, { stone, stoneChannel, dome, low }: Facts): boolean {
  const isMeasured = lookedAt(state, 'stone') === null && (stoneChannel?.filter.good ?? null) !== null;
  return !isMeasured && !stone?.isFresh && dome?.isFresh === true && dome.celsius > low - UNSEEN_STONE.below;
}

function evaluate(state: EngineState, facts: Facts): Evaluation<'look-due'> {
  const { stone, t, low, high } = facts;
  if (state.onStone.length > 0) return 'false';
  const asked = keptAlarm(state, 'look-due', null)?.alarm;
  const isStanding = asked?.state === 'unacknowledged' || asked?.state === 'acknowledged';
  const looked = lookedAt(state, 'stone')?.looks.at(-1)?.t ?? -1e6;
  const unseenSince = Math.max(looked, state.tracker.origin ?? 0);
  if (isStanding && t - asked.raisedAt > LAPSES_AFTER_SECONDS) return 'false';
  // A look that is not believed is asked about at once: else it would be passed over without a word.
  const isDoubtNew = state.tracker.doubt !== null && (asked?.raisedAt ?? -1e6) < state.tracker.doubt.t;
  if (!isStanding && !isDoubtNew && asked && t - asked.raisedAt < nextAfter(asked.raisedAt, unseenSince))
    return 'false';
  // What was asked for in vain is asked for more rarely, and says so.
  const isInVain = asked !== undefined && nextAfter(asked.raisedAt, unseenSince) > LOOK_WORTH.every;
  const vain = !isStanding && isInVain ? { unseenMinutes: minutes(t - unseenSince) } : {};
  if (!stone?.isEstimate)
    return t - looked > UNSEEN_STONE.since && isUnseen(state, facts)
      ? { dome: whole(facts.dome?.celsius ?? 0), ...vain }
      : 'false';
  // The look that was asked for; whether to ask again is another question.
  if (t - looked < 2) return 'false';
  if (state.tracker.doubt !== null) return lookWhy(state, facts);
  if (t - looked < LOOK_WORTH.since || state.stone.state === 'ready') return 'false';
  if (stone.error < LOOK_WORTH.unsure) return isStanding ? 'between' : 'false';
  const { readyAt = null, overAt = null } = state.forecast ?? {};
  const isReadySoon =
    readyAt !== null && readyAt > t && readyAt - t < LOOK_WORTH.ready && stone.celsius < high;
  const isOverSoon = overAt !== null && overAt > t && overAt - t < LOOK_WORTH.over;
  const isLost = isRough(stone) && t - looked > LOST_SIGHT.since && stone.celsius > low - LOST_SIGHT.below;
  if (isReadySoon || isOverSoon || isLost) return { ...lookWhy(state, facts), ...vain };
  return isStanding ? 'between' : 'false';
}

function lookWhy(
  { forecast, tracker: { doubt } }: EngineState,
  { stone, low, high, t }: Facts,
): ParametersOf<'look-due'> {
  const why: ParametersOf<'look-due'> = {
    stone: whole(stone?.celsius ?? 0),
    error: tenth(stone?.error ?? 0),
    low,
    high,
  };
  if (doubt !== null) {
    const [read, off] = [whole(doubt.celsius), Math.abs(whole(doubt.celsius - doubt.expected))];
    return { ...why, read, off, side: doubt.celsius < doubt.expected ? 'below' : 'above' };
  }
  const { readyAt = null, overAt = null } = forecast ?? {};
  if (overAt !== null && overAt > t && overAt < (readyAt ?? Infinity) + 60)
    return { ...why, overInMinutes: minutes(overAt - t) };
  return readyAt !== null && readyAt > t ? { ...why, readyInMinutes: minutes(readyAt - t) } : why;
}

export const lookDue: AlertCondition<'look-due'> = { ...NO_DELAY, evaluate };
