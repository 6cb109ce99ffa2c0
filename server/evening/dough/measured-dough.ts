import { solve } from '../arithmetic.ts';
import type { Hours } from './kitchen.ts';

/** Steps of 5 min; least time in the room before a fridge or balling, and as balls, h. */
const [STEP, MIN_FIRST, MIN_BALLS] = [1 / 12, 0.25, 0.5];

/**
 * The times of a dough whose yeast is in it and which is warmer or cooler than meant: its first time in the mass is what
 * does the work that was meant, `want`, and what comes after, fridge or balls, takes the rest, so that the launch stays.
 * `work` grows with the first time, h.
 */
export function moveBulk(hours: Hours, want: number, work: (first: number) => number): Hours {
  if (hours.first === 0) return hours;
  const after = hours.cold > 0 ? 'cold' : 'balls';
  const most = hours.first + hours[after] - (after === 'cold' ? 0 : MIN_BALLS);
  const inSteps = (move: number): number => Math.min(most, Math.max(MIN_FIRST, hours.first + move * STEP));
  let move = 0;
  const direction = work(hours.first) > want ? -1 : 1;
  const better = (next: number): boolean =>
    inSteps(next) !== inSteps(next - direction) &&
    Math.abs(work(inSteps(next)) - want) < Math.abs(work(inSteps(next - direction)) - want);
  while (better(move + direction)) move += direction;
  const first = inSteps(move);
  return move === 0 ? hours : { ...hours, first, [after]: hours[after] + hours.first - first };
}

/** How far a place may be from the room, °C: a cellar, a cool box; an oven with its light on. */
const MAX_PLACE_DIFFERENCE_CELSIUS = 8;

/** The place for the balls, °C, that does the work `want` in all; the room itself where it is near enough. */
export function placeFor(roomC: number, want: number, work: (ballsC: number) => number): number {
  if (Math.abs(work(roomC) / want - 1) < 0.05) return roomC;
  return solve(work, want, [roomC - MAX_PLACE_DIFFERENCE_CELSIUS, roomC + MAX_PLACE_DIFFERENCE_CELSIUS], 0.1);
}
