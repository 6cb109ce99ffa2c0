import { expect, test } from 'vitest';
import { presentCourse, STEP } from '../../server/engine/course.ts';
import type { Facts } from '../../server/engine/facts.ts';
import { engine } from '../../server/engine/engine.ts';
import { CONFIG } from './evening.ts';

const TAU = 1200;
const level = (celsius: number, perMinute: number) => ({
  celsius,
  error: 0.2,
  perMinute,
  perMinuteError: 0.1,
  isFresh: true,
});

/** A stone of known τ at `from`, °C, under a dome that stays at `towards`; moving just as its model says. */
function courseOf(from: number, towards: number) {
  const prior = { version: 1, cooks: 3, values: { tau: TAU, offset: 0 } };
  const state = engine.start({ ...CONFIG, prior });
  const perMinute = (60 * (towards - from)) / TAU;
  const facts: Facts = {
    t: 5000,
    stone: { ...level(from, perMinute), change: 2 * perMinute, changeError: 0.2, pace: perMinute },
    dome: level(towards, 0),
    stoneChannel: null,
    domeChannel: null,
    low: 255,
    high: 285,
  };
  return presentCourse(state, facts)?.stone ?? [];
}

test.each([
  [200, 300],
  [240, 290],
  [280, 220],
])(
  'from %i °C towards %i °C: T(t) = T∞ − (T∞ − T₀)·e^(−t/τ), and reaches what it reaches when it should',
  (from, towards) => {
    const course = courseOf(from, towards);
    // the form of handbook section 6; steps of 15 s cost a few tenths of a degree
    for (const s of [300, 600, 1200]) {
      const exact = towards - (towards - from) * Math.exp(-s / TAU);
      expect(Math.abs((course[s / STEP] ?? 0) - exact)).toBeLessThan(0.35);
    }
    const target = from + 0.4 * (towards - from);
    // τ·ln((T∞ − T₀)/(T∞ − T*))
    const exact = TAU * Math.log((towards - from) / (towards - target));
    const reached = course.findIndex((x) => (towards > from ? x >= target : x <= target)) * STEP;
    expect(Math.abs(reached - exact)).toBeLessThanOrEqual(STEP);
  },
);

test('what lies beyond the level it settles at is never reached', () => {
  expect(Math.max(...courseOf(240, 280))).toBeLessThan(280);
});
