import { describe, expect, test } from 'vitest';
import {
  domeByHabit,
  habitOf,
  habitValues,
  habitWith,
  holdsOf,
} from '../../../server/engine/forecast/habit.ts';
import { freshHistory, LID_FLAG, type History } from '../../../server/engine/heat/heat-history.ts';

const BAND = [260, 280] as const;

/** A stone that climbs by 1 °C a step from `from` on, looked at in each, under a dome that is held. */
function heldAt(dome: number, from: number, hands = 0): History {
  const steps = 300 - from;
  const looks = Array.from({ length: steps }, (_, slot) => ({
    slot,
    celsius: from + slot,
    variance: 1,
    leap: 0,
  }));
  return { ...freshHistory(20), dome: looks.map(() => dome), hands: looks.map(() => hands), looks };
}

const now = { dome: 200, perSecond: 0.1, drifts: 260 };

/** Where the dome comes to in an hour over a stone of `stone` °C. */
function endsAt(habit: ReturnType<typeof habitOf>, stone: number): number | null {
  const held = domeByHabit(habit, now, BAND);
  if (!held) return null;
  let dome = 0;
  for (let i = 0; i < 360; i++) dome = held(stone);
  return dome;
}

describe('the habit of holding the dome', () => {
  const once = habitWith(habitOf(null), heldAt(300, 100), BAND);
  const thrice = habitWith(habitWith(once, heldAt(302, 100), BAND), heldAt(298, 100), BAND);

  test('of no cook is none', () => {
    expect(domeByHabit(habitOf(null), now, BAND)).toBeNull();
  });

  test('of cooks is shown as the dome on the way and just below the band, of none not at all', () => {
    expect(holdsOf(habitOf(null), BAND)).toEqual([]);
    const [far, near] = holdsOf(thrice, BAND);
    expect([far?.below, far?.cooks, near?.below]).toEqual([50, 3, 5]);
    expect(far?.dome.value).toBeCloseTo(300, 0);
    expect(far?.dome.error).toBeLessThan(holdsOf(once, BAND)[0]?.dome.error ?? 0);
  });

  test('of steady cooks has the dome come to their level, the nearer the more there were', () => {
    const [first, third] = [endsAt(once, 200) ?? 0, endsAt(thrice, 200) ?? 0];
    expect(first).toBeGreaterThan(280);
    expect(third).toBeGreaterThan(first);
    expect(third).toBeLessThan(300.5);
  });

  test('of cooks that differed counts for less than that of cooks alike', () => {
    const varied = habitWith(habitWith(once, heldAt(380, 100), BAND), heldAt(220, 100), BAND);
    const [alike, apart] = [endsAt(thrice, 200) ?? 0, endsAt(varied, 200) ?? 0];
    expect(Math.abs(apart - now.drifts)).toBeLessThan(Math.abs(alike - now.drifts));
  });

  test('is not learnt from an open lid', () => {
    expect(habitWith(once, heldAt(120, 100, LID_FLAG), BAND)).toEqual(once);
  });

  test('starts from the dome as it is and as it moves', () => {
    const held = domeByHabit(thrice, now, BAND);
    const [first = 0, second = 0] = [held?.(100), held?.(100)];
    expect(first).toBe(200);
    expect(second - first).toBeGreaterThan(1);
  });

  test('is the same again out of the values of a prior', () => {
    expect(habitOf({ version: 2, cooks: 3, values: habitValues(thrice) })).toEqual(thrice);
  });
});
