import { describe, expect, test } from 'vitest';
import {
  acknowledge,
  end,
  freshAlarm,
  highLimit,
  shelve,
  stepAlarm,
  unshelve,
  type Alarm,
  type AlarmRules,
  type Condition,
} from '../../../server/engine/alarm/alarm.ts';

const RULES: AlarmRules = { onDelay: 0, offDelay: 0, again: [60], comesBack: 600, forget: 900 };
const step = (alarm: Alarm, t: number, condition: Condition, rules = RULES) =>
  stepAlarm(alarm, t, condition, rules);

/** An alarm brought to a state by its own moves. */
function brought(to: 'normal' | 'unacknowledged' | 'acknowledged' | 'returned' | 'shelved'): Alarm {
  const alarm = freshAlarm(0);
  if (to === 'normal') return alarm;
  if (to === 'shelved') shelve(alarm, 10, 100);
  else step(alarm, 10, 'true');
  if (to === 'acknowledged') acknowledge(alarm, 20);
  if (to === 'returned') step(alarm, 20, 'false');
  expect(alarm.state).toBe(to);
  return alarm;
}

describe('every move of the published model (ISA-18.2 / IEC 62682; OPC UA Part 9, B.1.5)', () => {
  test.each([
    ['normal', 'true', 'unacknowledged', 'raise'],
    ['unacknowledged', 'false', 'returned', 'state'],
    ['acknowledged', 'false', 'normal', 'state'],
    ['returned', 'true', 'unacknowledged', 'raise'],
  ] as const)('%s, condition %s → %s', (from, condition, to, kind) => {
    const alarm = brought(from);
    expect(step(alarm, 30, condition)).toEqual({ kind, state: to });
    expect(alarm).toMatchObject({ state: to, since: 30 });
  });

  test.each([
    ['normal', 'normal'],
    ['unacknowledged', 'acknowledged'],
    ['acknowledged', 'acknowledged'],
    ['returned', 'normal'],
    ['shelved', 'shelved'],
  ] as const)('%s, acknowledged → %s', (from, to) => {
    const alarm = brought(from);
    acknowledge(alarm, 30);
    expect(alarm.state).toBe(to);
  });

  test.each(['normal', 'unacknowledged', 'acknowledged', 'returned'] as const)(
    '%s, shelved → shelved',
    (from) => {
      const alarm = brought(from);
      shelve(alarm, 30, 100);
      expect(step(alarm, 129, 'true')).toBeNull();
      expect(alarm.state).toBe('shelved');
      expect(step(alarm, 130, 'true')).toMatchObject({ kind: 'raise' });
    },
  );

  test('off the shelf: as the condition then is', () => {
    expect(unshelve(brought('shelved'), 30, 'false')).toEqual({ kind: 'state', state: 'normal' });
    expect(unshelve(brought('shelved'), 30, 'true')).toMatchObject({ kind: 'raise' });
    expect(unshelve(brought('normal'), 30, 'true')).toBeNull();
  });

  test('unacknowledged it sounds again, as often as its list says', () => {
    const alarm = brought('unacknowledged');
    expect(step(alarm, 69, 'true')).toBeNull();
    expect(step(alarm, 70, 'true')).toEqual({ kind: 'again', state: 'unacknowledged', again: 1 });
    expect(step(alarm, 1000, 'true')).toBeNull();
  });

  test('acknowledged and still true after the re-alarm time, it comes back', () => {
    const alarm = brought('acknowledged');
    expect(step(alarm, 619, 'true')).toBeNull();
    expect(step(alarm, 620, 'true')).toMatchObject({ kind: 'again', state: 'unacknowledged' });
  });

  test('a returned alert that nobody saw is forgotten, an ended one leaves nothing', () => {
    const alarm = brought('returned');
    expect(step(alarm, 919, 'false')).toBeNull();
    expect(step(alarm, 920, 'false')).toEqual({ kind: 'state', state: 'normal' });
    expect(end(brought('unacknowledged'), 30)).toEqual({ kind: 'state', state: 'normal' });
    expect(end(brought('normal'), 30)).toBeNull();
  });

  test('what is unknown moves nothing and restarts nothing', () => {
    const alarm = freshAlarm(0);
    const rules = { ...RULES, onDelay: 30 };
    step(alarm, 0, 'true', rules);
    expect(step(alarm, 20, 'unknown', rules)).toBeNull();
    expect(step(alarm, 30, 'true', rules)).toMatchObject({ kind: 'raise' });
  });
});

/** A sample each 10 s through a high limit. @returns [time, state] of each move */
function trace(
  values: readonly number[],
  limit: number,
  deadband: number,
  delays: [on: number, off: number],
) {
  const alarm = freshAlarm(0);
  const rules = { ...RULES, again: [], onDelay: delays[0], offDelay: delays[1] };
  return values.flatMap((value, i) => {
    const move = step(alarm, 10 * i, highLimit(value, limit, deadband), rules);
    return move ? [[10 * i, move.state] as const] : [];
  });
}

describe('traces with deadband and delays (OPC UA Part 9, B.1.5; worked by hand)', () => {
  test('limit 290, deadband 5, on-delay 30 s, off-delay 40 s: active at 60, cleared at 180', () => {
    const values = [
      280, 291, 288, 292, 293, 294, 295, 291, 287, 286, 284, 283, 284, 286, 284, 283, 282, 281, 280,
    ];
    expect(trace(values, 290, 5, [30, 40])).toEqual([
      [60, 'unacknowledged'],
      [180, 'returned'],
    ]);
  });

  test('chatter: three raisings bare, one with a deadband, none with an on-delay', () => {
    const values = [289, 291, 289, 291, 289, 291, 289];
    const raised = (deadband: number, on: number) =>
      trace(values, 290, deadband, [on, 0]).filter(([, state]) => state === 'unacknowledged').length;
    expect(raised(0, 0)).toBe(3);
    expect(trace(values, 290, 5, [0, 0])).toEqual([[10, 'unacknowledged']]);
    expect(raised(0, 20)).toBe(0);
  });
});
