import { z } from 'zod';
import type { Truth } from '../../simulator/cook.ts';

/** What the score asks of a truth file: noise-free values a second and what the person did. */
export const truthFile = z.object({
  name: z.string(),
  kind: z.string(),
  stoneBand: z.tuple([z.number(), z.number()]),
  duration: z.number(),
  actions: z.array(z.object({ t: z.number(), do: z.string() })),
  stone: z.array(z.number()),
  onStone: z.array(z.union([z.boolean(), z.number()]).transform(Boolean)),
});
export type ScoredTruth = Pick<Truth, 'name' | 'kind' | 'stoneBand' | 'duration' | 'stone' | 'onStone'> & {
  actions: readonly { t: number; do: string }[];
};

/** Steady, as the engine has it: moved less than 6 °C over the last 120 s. */
const STEADY_OVER = 120;
const STEADY_WITHIN = 6;
const LASTS = 60;

/** Per second: in its band, steady, nothing on the stone. */
export function readySeconds({ stone, stoneBand: [low, high], onStone }: ScoredTruth): boolean[] {
  return stone.map((celsius, t) => {
    const before = stone[t - STEADY_OVER];
    if (before === undefined || onStone[t]) return false;
    return celsius >= low && celsius <= high && Math.abs(celsius - before) <= STEADY_WITHIN;
  });
}

/** Starts of spells of `true` that last a minute (or to the end) and follow at least `quiet` seconds without one. */
function onsets(is: readonly boolean[], quiet: number): number[] {
  const found: number[] = [];
  let last = -Infinity;
  is.forEach((now, t) => {
    if (now && !is[t - 1] && t - last > quiet && is.slice(t, t + LASTS).every(Boolean)) found.push(t);
    if (now) last = t;
  });
  return found;
}

/** A stone that comes no further into its band within so long, s, than by so much, °C, only touches its edge. */
const GRAZES = { within: 180, by: 2 };

function isGraze({ stone, stoneBand: [low, high] }: ScoredTruth, from: number): boolean {
  const inside = stone
    .slice(from, from + GRAZES.within)
    .map((celsius) => Math.min(celsius - low, high - celsius));
  return Math.max(...inside) < GRAZES.by;
}

/**
 * Seconds at which the stone becomes truly ready: for a minute at least, after two minutes without, and not by touching the
 * edge of its band.
 */
export const readyOnsets = (truth: ScoredTruth): number[] =>
  onsets(readySeconds(truth), 120).filter((t) => !isGraze(truth, t));

/** Seconds at which the stone passes the top of its band: for a minute at least, after three minutes below. */
export function crossings({ stone, stoneBand: [, high] }: ScoredTruth): number[] {
  const above = stone.map((celsius) => celsius > high);
  // a stone that starts above has not crossed anything
  return onsets(above, 180).filter((t) => t > 0);
}
