import type { Why } from '../../../shared/engine.ts';
import type { AlertName } from '../../../shared/words.ts';
import { isUnassessed } from '../detect/hands.ts';
import { isOpen, openFor } from '../detect/lid.ts';
import type { Baking, EngineState, AlarmRecord } from '../engine-state.ts';
import { staleAfter, type Channel } from '../estimate/channel.ts';
import { tenth, type Facts } from '../estimate/facts.ts';
import { lookedAt } from '../heat/follow.ts';
import { highLimit, type Condition } from './alarm.ts';

/**
 * When each alert is so, with the numbers that its text says. They are of one look at the same facts, so that the words
 * name what the condition found.
 */

/** The numbers where the alert is so; else how it is. */
export type Evaluation = Why | Exclude<Condition, 'true'>;
export type Evaluate = (state: EngineState, facts: Facts) => Evaluation;

export const conditionOf = (evaluation: Evaluation): Condition =>
  typeof evaluation === 'string' ? evaluation : 'true';

const whole = (value: number): number => Math.round(value) + 0;
const minutes = (seconds: number): number => Math.max(1, whole(seconds / 60));

export function stoneReady(state: EngineState, facts: Facts): Evaluation {
  const { state: now } = state.stone;
  // A launch answers the call, with the lid still open.
  if (state.onStone.length > 0) return 'false';
  // What was done under the lid that was just up is not judged yet: a pizza may lie there.
  if (facts.stone?.isEstimate && isUnassessed(state)) return 'between';
  if (now === 'ready') return readyWhy(facts);
  if (isOpen(state.lid) || now === 'blind') return 'between';
  return now === 'soaking' && Math.abs(facts.stone?.change ?? 0) < 6.3 ? 'between' : 'false';
}

function readyWhy({ stone, low, high }: Facts): Why {
  const celsius = whole(stone?.celsius ?? 0);
  if (stone?.isEstimate) return { stone: celsius, error: tenth(stone.error), low, high };
  return { stone: celsius, changeIn2Min: tenth(stone?.change ?? 0), low, high };
}

/** Seconds ahead that an overshoot is warned of: within 15 min, late enough that the course is believable. */
const WARN_AHEAD_SECONDS = 600;
/** Between two pizzas the next one takes as much out of the stone, °C: less than that is warned of so late, s, that it may have. */
const NEXT_TAKES = 20;
const AHEAD_BETWEEN = 300;

export function overshootAhead(state: EngineState, { stone, dome, high, t }: Facts): Evaluation {
  if (state.onStone.length > 0) return 'false';
  if (!stone?.isFresh || isOpen(state.lid)) return 'unknown';
  if (stone.celsius > high || stone.perMinute < -0.5) return 'false';
  const { overAt: over = null, curves } = state.forecast ?? {};
  if (over === null || !curves) return 'false';
  const most = Math.max(...curves.stone.map(({ celsius }) => celsius));
  const ahead = state.offAt !== null && most < high + NEXT_TAKES ? AHEAD_BETWEEN : WARN_AHEAD_SECONDS;
  const climbs = stone.perMinute > 0.5 || (dome !== null && dome.perMinute > 2);
  if (over - t > ahead || !climbs) return 'between';
  const peak = whole(most);
  return {
    stone: whole(stone.celsius),
    inMinutes: minutes(over - t),
    over: Math.max(1, peak - whole(high)),
    peak,
    high: whole(high),
    perMinute: tenth(stone.perMinute),
    ...wayOut(state),
  };
}

/** What shutting the vents now still does, what it does later, and for how long it is enough. */
function wayOut({ whatIf }: EngineState): Why {
  if (!whatIf) return {};
  const { shut, shutLater, until } = whatIf;
  const [shutNow, later] = [whole(shut.highest.celsius), whole(shutLater.highest.celsius)];
  // Where waiting costs nothing yet, the two figures would only be read twice.
  if (later <= shutNow && until === null) return {};
  return {
    shutNow,
    later: shutLater.minutes,
    shutLater: later,
    ...(until !== null && until > 0 && { until }),
  };
}

export function overshot(state: EngineState, { stone, high }: Facts): Evaluation {
  if (!stone?.isFresh) return 'unknown';
  if (state.onStone.length > 0 || isOpen(state.lid)) return 'between';
  const condition = highLimit(stone.celsius, high + 0.3, 1.5 + 2 * stone.error);
  if (condition !== 'true') return condition;
  const celsius = whole(stone.celsius);
  return { stone: celsius, over: Math.max(1, celsius - whole(high)), high: whole(high) };
}

/** One standard error of an estimate, °C, above which nobody should turn a vent for it (our choice): a look comes first. */
const ROUGH_ERROR_CELSIUS = 10;
const isRough = (stone: Facts['stone']): boolean =>
  stone?.isEstimate === true && stone.error > ROUGH_ERROR_CELSIUS;

/** Fading matters once the stone has been hot enough, and while it will not be for the next pizza. */
export function fireFading(state: EngineState, facts: Facts): Evaluation {
  const { stone, dome, t, low } = facts;
  if (!stone?.isFresh || isOpen(state.lid)) return 'unknown';
  if (state.onStone.length > 0 || state.inBandAt === null || isRough(stone)) return 'between';
  if (state.offAt !== null && t - state.offAt < 300) return 'between';
  const perMinute = (stone.change ?? 0) / 2;
  const domeFalls = !dome || dome.perMinute < -0.3 || dome.celsius < low - 15;
  const soon = state.forecast?.fadesAt ?? null;
  if (perMinute > 0 || (stone.celsius > low + 4 && soon === null)) return 'false';
  const leaves = soon !== null && soon - t < 480 && perMinute < -0.7;
  const left = stone.celsius < low && perMinute < -0.7;
  if (!domeFalls || (!leaves && !left)) return 'between';
  return {
    stone: whole(stone.celsius),
    low: whole(low),
    inMinutes: minutes((soon ?? t) - t),
    ...(dome && { dome: whole(dome.celsius) }),
  };
}

/** A lid that stands open so long, s, was forgotten. */
const LEFT_OPEN_AFTER = 120;

export function lidLeftOpen({ lid }: EngineState, { t, dome }: Facts): Evaluation {
  if (openFor(lid, t) <= LEFT_OPEN_AFTER) return 'false';
  const open = whole(t - lid.openedAt);
  return { openFor: open, ...(dome && { dome: whole(dome.celsius) }), before: whole(lid.level) };
}

export function domeTooHot({ targets }: EngineState, { dome }: Facts): Evaluation {
  const limit = targets.domeLimit;
  if (limit === null || limit === undefined || !dome) return 'false';
  const condition = dome.isFresh ? highLimit(dome.celsius, limit, 15) : 'unknown';
  return condition === 'true' ? { dome: whole(dome.celsius), limit: whole(limit) } : condition;
}

/** Beyond `staleAfter` a probe is silent so long, s, before it is called lost. */
const LOST_AFTER = 100;

/** How long it has been silent, s, where that is too long; else 0. One reading only may have been a look. */
function lostFor(channel: Channel, t: number): number {
  const { role, filter } = channel;
  if (role === 'other' || filter.good === null || filter.every === null) return 0;
  const silent = t - filter.good;
  return silent > staleAfter(channel) + LOST_AFTER ? silent : 0;
}

export function probeLost({ channels }: EngineState, { t }: Facts): Evaluation {
  for (const channel of channels) {
    const silent = lostFor(channel, t);
    if (silent > 0)
      return { channel: channel.id, silent: whole(silent), patience: whole(staleAfter(channel)) };
  }
  return 'false';
}

/** So many readings in a row that can't be trusted. */
const DOUBTFUL_READINGS = 15;

export function probeDoubtful({ channels }: EngineState): Evaluation {
  const channel = channels.find(
    ({ role, filter }) => role !== 'other' && filter.doubtful >= DOUBTFUL_READINGS,
  );
  return channel ? { channel: channel.id, doubtful: channel.filter.doubtful } : 'false';
}

/** A look decides something: no look since so long, s; ready or over within so long; an estimate so unsure, °C. */
const ASK = { since: 150, ready: 150, over: 600, unsure: 2.5, every: 240 };
/** Nor since so long, s, with the stone not further below its band than this, °C, and known too roughly to act on. */
const LOST_SIGHT = { since: 360, below: 30 };

export function lookDue(state: EngineState, facts: Facts): Evaluation {
  const { stone, t, low, high } = facts;
  if (!stone?.isEstimate || state.onStone.length > 0) return 'false';
  const asked = keptAlarm(state, 'look-due', null)?.alarm;
  const isStanding = asked?.state === 'unacknowledged' || asked?.state === 'acknowledged';
  if (!isStanding && asked && t - asked.raisedAt < ASK.every) return 'false';
  const looked = lookedAt(state, 'stone')?.looks.at(-1)?.t ?? -1e6;
  // The look that was asked for; whether to ask again is another question.
  if (t - looked < 2) return 'false';
  if (state.tracker.doubt !== null) return lookWhy(state, facts);
  if (t - looked < ASK.since || state.stone.state === 'ready') return 'false';
  if (stone.error < ASK.unsure) return isStanding ? 'between' : 'false';
  const { readyAt = null, overAt = null } = state.forecast ?? {};
  const isReadySoon = readyAt !== null && readyAt > t && readyAt - t < ASK.ready && stone.celsius < high;
  const isOverSoon = overAt !== null && overAt > t && overAt - t < ASK.over;
  const isLost = isRough(stone) && t - looked > LOST_SIGHT.since && stone.celsius > low - LOST_SIGHT.below;
  if (isReadySoon || isOverSoon || isLost) return lookWhy(state, facts);
  return isStanding ? 'between' : 'false';
}

function lookWhy({ forecast, tracker: { doubt } }: EngineState, { stone, low, high, t }: Facts): Why {
  const why: Why = { stone: whole(stone?.celsius ?? 0), error: tenth(stone?.error ?? 0), low, high };
  if (doubt !== null) {
    const [read, off] = [whole(doubt.celsius), Math.abs(whole(doubt.celsius - doubt.expected))];
    return { ...why, read, off, side: doubt.celsius < doubt.expected ? 'below' : 'above' };
  }
  const { readyAt = null, overAt = null } = forecast ?? {};
  if (overAt !== null && overAt > t && overAt < (readyAt ?? Infinity) + 60)
    return { ...why, overInMinutes: minutes(overAt - t) };
  return readyAt !== null && readyAt > t ? { ...why, readyInMinutes: minutes(readyAt - t) } : why;
}

/** A lid that opens so soon after a launch, s, is the launch's own; so long before the turn is due, it may be the turn. */
const LAUNCH_LID = 20;
const TURN_AHEAD = 45;

/** Opening the lid about the time of the turn counts as turning; the lid that was opened for the launch does not. */
function hasOpenedForTurn({ lid }: EngineState, { launchedAt }: Baking, turnAfter: number): boolean {
  const opened = lid.openedAt - launchedAt;
  return opened > Math.max(turnAfter - TURN_AHEAD, Math.min(LAUNCH_LID, turnAfter / 2));
}

export function turnDue(state: EngineState, facts: Facts, baking: Baking): Evaluation {
  const { turnAfter, turnedAt, offAfter, launchedAt } = baking;
  const age = facts.t - launchedAt;
  const isDue =
    turnAfter !== null &&
    turnedAt === null &&
    !hasOpenedForTurn(state, baking, turnAfter) &&
    age >= turnAfter &&
    age < offAfter;
  return isDue ? onStoneWhy(age) : 'false';
}

export function offDue(_state: EngineState, { t }: Facts, { launchedAt, offAfter }: Baking): Evaluation {
  return t - launchedAt >= offAfter ? onStoneWhy(t - launchedAt) : 'false';
}

function onStoneWhy(age: number): Why {
  const onFor = whole(age);
  return { onFor, onForText: `${Math.floor(onFor / 60)}:${String(onFor % 60).padStart(2, '0')}` };
}

export const keptAlarm = (
  state: EngineState,
  alert: AlertName,
  key: number | null,
): AlarmRecord | undefined => state.alarms.find((alarm) => alarm.alert === alert && alarm.key === key);
