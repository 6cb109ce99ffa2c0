import type { EngineState } from './engine-state.ts';
import type { Facts } from './facts.ts';

/** The present course of dome and stone, a value each `STEP` s from now on, °C, with one standard error. */
export type Course = { stone: number[]; dome: number[]; stoneError: number[]; domeError: number[] };

export const STEP = 15;
const HORIZON = 1200;
export const STEPS = HORIZON / STEP;
/** A dome's drift dies out so fast, s (our choice; handbook section 11: minutes for the air, an hour for the body). */
const DRIFT_LASTS = 600;

/** dT/dt = a·(dome − T) + c with the dome's drift dying out: nobody touches anything. */
export function presentCourse(state: EngineState, facts: Facts): Course | null {
  const { stone, dome } = facts;
  if (!stone) return null;
  const { a, c } = state.model;
  const course: Course = { stone: [stone.celsius], dome: [], stoneError: [stone.error], domeError: [] };
  const rate = stone.pace / 60;
  const drift = dome ? drift60(dome.perMinute) / 60 : 0;
  // Without a dome the stone's own rate says what it heads for; what the rate says now is believed for a while.
  const heading = dome ? dome.celsius : stone.celsius + (rate - c) / a;
  const mismatch = dome ? rate - (a * (dome.celsius - stone.celsius) + c) : 0;
  let x = stone.celsius;
  for (let i = 0; i <= STEPS; i++) {
    const s = i * STEP;
    const air = heading + drift * DRIFT_LASTS * (1 - Math.exp(-s / DRIFT_LASTS));
    course.dome.push(air);
    course.domeError.push((dome?.error ?? 20) + 0.06 * s);
    if (i === 0) continue;
    x += STEP * (a * (air - x) + c + mismatch * Math.exp(-s / 600));
    course.stone.push(x);
    const minutes = s / 60;
    const scatter = (0.25 + 0.12 * Math.abs(stone.pace)) * minutes * (0.7 + minutes / 12);
    course.stoneError.push(Math.hypot(stone.error, scatter));
  }
  return course;
}

/** A dome's rate as a lid or a shovel leaves it says nothing of the next minutes. */
const drift60 = (perMinute: number): number => Math.max(-12, Math.min(12, perMinute));
