import type { EngineState } from './engine-state.ts';
import type { Facts } from './facts.ts';
import { STEP, type Course } from './course.ts';

export type ReadyForecast = { readyAt: number | null; readyBetween: [number, number] | null };

export function readyForecast(state: EngineState, facts: Facts, course: Course): ReadyForecast {
  const { t, low, high } = facts;
  if (state.stone.state === 'ready') return { readyAt: t, readyBetween: [t, t] };
  const wait = firstReady(course, low, high) ?? reach(course, low);
  if (wait === null) return { readyAt: null, readyBetween: null };
  return { readyAt: t + wait, readyBetween: [t + 0.7 * wait, t + 1.5 * wait + 60] };
}

function firstReady({ stone }: Course, low: number, high: number): number | null {
  const back = 120 / STEP;
  for (let i = 0; i < stone.length; i++) {
    const now = stone[i] ?? 0;
    if (now >= low && now <= high && i >= back && Math.abs(now - (stone[i - back] ?? 0)) <= 6)
      return i * STEP;
  }
  return null;
}

function reach({ stone }: Course, low: number): number | null {
  const i = stone.findIndex((value) => value >= low);
  return i < 0 ? null : i * STEP + 240;
}
