import type { AlertState } from '../../../shared/words.ts';

/**
 * The life of one alert by the states of ISA-18.2 / IEC 62682: normal, unacknowledged,
 * acknowledged, returned (cleared, not yet seen), shelved. Pure and plain JSON; times s.
 */
export type Alarm = {
  state: AlertState;
  since: number;
  raisedAt: number;
  /** Since when the condition has been other than the state says; null while it agrees or is between. */
  pendingSince: number | null;
  shelvedUntil: number | null;
  /** When it last sounded and how often it has sounded again since it was raised. */
  soundedAt: number;
  again: number;
};

/** Delays, s: how long the condition must hold to raise and to clear; when a standing alert sounds again, how often. */
export type AlarmRules = {
  onDelay: number;
  offDelay: number;
  again: readonly number[];
  /** An acknowledged alert that still holds after so long is raised again; null: never. */
  comesBack: number | null;
  /** A returned alert that nobody saw is forgotten after so long. */
  forget: number;
};

/** `between` is the deadband: neither raises nor clears, and restarts both delays.
 * `unknown`, as when blind, leaves all as it is. */
export type Condition = 'true' | 'between' | 'false' | 'unknown';
export type Move = { kind: 'raise' | 'again' | 'state'; state: AlertState; again?: number };

export const freshAlarm = (t: number): Alarm => ({
  state: 'normal',
  since: t,
  raisedAt: t,
  pendingSince: null,
  shelvedUntil: null,
  soundedAt: t,
  again: 0,
});

/** A high limit with deadband: above is true, below limit − deadband is false (OPC UA Part 9 B.1.5). */
export function highLimit(value: number, limit: number, deadband: number): Condition {
  if (value > limit) return 'true';
  return value < limit - deadband ? 'false' : 'between';
}

function enter(alarm: Alarm, t: number, state: AlertState): Move {
  alarm.state = state;
  alarm.since = t;
  alarm.pendingSince = null;
  return { kind: 'state', state };
}

function raise(alarm: Alarm, t: number): Move {
  enter(alarm, t, 'unacknowledged');
  alarm.raisedAt = t;
  alarm.soundedAt = t;
  alarm.again = 0;
  return { kind: 'raise', state: 'unacknowledged' };
}

/** @returns true once the condition has been `wanted` for the whole delay; what is unknown neither counts nor restarts */
function hasHeld(alarm: Alarm, t: number, delay: number, condition: Condition, wanted: Condition): boolean {
  if (condition === 'unknown') return false;
  if (condition !== wanted) {
    alarm.pendingSince = null;
    return false;
  }
  alarm.pendingSince ??= t;
  return t - alarm.pendingSince >= delay;
}

/** The condition as it is at `t`. @returns the move that follows, or null */
export function stepAlarm(alarm: Alarm, t: number, condition: Condition, rules: AlarmRules): Move | null {
  switch (alarm.state) {
    case 'normal':
      return hasHeld(alarm, t, rules.onDelay, condition, 'true') ? raise(alarm, t) : null;
    case 'returned':
      if (hasHeld(alarm, t, rules.onDelay, condition, 'true')) return raise(alarm, t);
      return t - alarm.since >= rules.forget ? enter(alarm, t, 'normal') : null;
    case 'unacknowledged':
      if (hasHeld(alarm, t, rules.offDelay, condition, 'false')) return enter(alarm, t, 'returned');
      return soundAgain(alarm, t, condition, rules);
    case 'acknowledged':
      if (hasHeld(alarm, t, rules.offDelay, condition, 'false')) return enter(alarm, t, 'normal');
      return comeBack(alarm, t, condition, rules);
    case 'shelved':
      return alarm.shelvedUntil !== null && t >= alarm.shelvedUntil ? unshelve(alarm, t, condition) : null;
  }
}

function soundAgain(alarm: Alarm, t: number, condition: Condition, { again }: AlarmRules): Move | null {
  const wait = again[alarm.again];
  if (wait === undefined || condition !== 'true' || t - alarm.soundedAt < wait) return null;
  alarm.soundedAt = t;
  alarm.again += 1;
  return { kind: 'again', state: alarm.state, again: alarm.again };
}

function comeBack(alarm: Alarm, t: number, condition: Condition, { comesBack }: AlarmRules): Move | null {
  if (comesBack === null || condition !== 'true' || t - alarm.since < comesBack) return null;
  const again = alarm.again + 1;
  raise(alarm, t);
  alarm.again = again;
  return { kind: 'again', state: 'unacknowledged', again };
}

/** A person has seen it. */
export function acknowledge(alarm: Alarm, t: number): Move | null {
  if (alarm.state === 'unacknowledged') return enter(alarm, t, 'acknowledged');
  return alarm.state === 'returned' ? enter(alarm, t, 'normal') : null;
}

/** Quiet for a while, from any state. */
export function shelve(alarm: Alarm, t: number, seconds: number): Move {
  alarm.shelvedUntil = t + seconds;
  return enter(alarm, t, 'shelved');
}

/** Back from the shelf: raised again if the condition is so, else normal. */
export function unshelve(alarm: Alarm, t: number, condition: Condition): Move | null {
  if (alarm.state !== 'shelved') return null;
  alarm.shelvedUntil = null;
  return condition === 'true' ? raise(alarm, t) : enter(alarm, t, 'normal');
}

/** What the alert was about is over by an act, not by the condition clearing: no delay, nothing left to see. */
export function end(alarm: Alarm, t: number): Move | null {
  if (alarm.state === 'normal' || alarm.state === 'shelved') return null;
  return enter(alarm, t, 'normal');
}
