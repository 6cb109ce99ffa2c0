import type { CookDetail, CookMark, StoneEstimate } from '../../../shared/api/api.ts';
import { AT_LAUNCH_SECONDS } from '../../../shared/cook/stone-at-launch.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { Point } from '../derive/curve/series.ts';

/** What a curve says at one moment, s since the cook started. Pure. */

/** So long a reading holds, s: a straight line to the next would take part of a launch's fall for what was before it. */
const HOLDS_SECONDS = 15;
/** A value between two readings further apart than this is not known, s. */
const INTERPOLATE_WITHIN_SECONDS = 60;
/** The rate is that of the minute before: what the person at the grill could have known, s. */
const RATE_SPAN_SECONDS = 60;
/** A rate needs readings over so much of it, s. */
const MIN_RATE_SPAN_SECONDS = 30;

type Plain = { t: number; celsius: number };

const usable = (points: readonly Point[], channel: string): Plain[] =>
  points.flatMap((p) =>
    p.channel === channel && p.celsius !== null && p.quality !== 'bad'
      ? [{ t: p.t, celsius: p.celsius }]
      : [],
  );

/** @returns °C of the last reading, or on the straight line to the next; null where there is none near enough */
function valueAt(curve: readonly Plain[], t: number): number | null {
  const before = curve.findLast((p) => p.t <= t);
  if (before && t - before.t <= HOLDS_SECONDS) return before.celsius;
  const after = curve.find((p) => p.t >= t);
  if (before && after && after.t - before.t <= INTERPOLATE_WITHIN_SECONDS) {
    const share = after.t === before.t ? 0 : (t - before.t) / (after.t - before.t);
    return before.celsius + share * (after.celsius - before.celsius);
  }
  return after && after.t - t <= HOLDS_SECONDS ? after.celsius : null;
}

/** @returns °C a minute, the slope of the line of least squares; null where too little was measured */
function rateAt(curve: readonly Plain[], t: number): number | null {
  const part = curve.filter((p) => p.t > t - RATE_SPAN_SECONDS && p.t <= t);
  const [first, last] = [part[0], part.at(-1)];
  if (!first || !last || part.length < 3 || last.t - first.t < MIN_RATE_SPAN_SECONDS) return null;
  const middle = part.reduce((sum, p) => sum + p.t, 0) / part.length;
  const mean = part.reduce((sum, p) => sum + p.celsius, 0) / part.length;
  const over = part.reduce((sum, p) => sum + (p.t - middle) * (p.celsius - mean), 0);
  const under = part.reduce((sum, p) => sum + (p.t - middle) ** 2, 0);
  return (60 * over) / under;
}

/** `error`: one standard error of an estimate, °C; absent where it was measured. */
export type Reading = { celsius: number | null; perMinute: number | null; error?: number };

/** @param points readings of any channel in time order, as they came in */
export function readAt(points: readonly Point[], channel: string, t: number): Reading {
  const curve = usable(points, channel);
  return { celsius: valueAt(curve, t), perMinute: rateAt(curve, t) };
}

/** °C and standard error of an estimate on the straight line between two of them; null where none is near enough. */
function estimateOf(estimates: readonly StoneEstimate[], t: number): [celsius: number, error: number] | null {
  const after = estimates.findIndex(([at]) => at >= t);
  const [next, last] = [estimates[after], after < 0 ? estimates.at(-1) : estimates[after - 1]];
  if (next?.[0] === t || (next && !last)) return next[0] - t <= HOLDS_SECONDS ? [next[1], next[2]] : null;
  if (!last) return null;
  if (!next) return t - last[0] <= HOLDS_SECONDS ? [last[1], last[2]] : null;
  if (next[0] - last[0] > INTERPOLATE_WITHIN_SECONDS) return null;
  const share = (t - last[0]) / (next[0] - last[0]);
  return [last[1] + share * (next[1] - last[1]), last[2] + share * (next[2] - last[2])];
}

/** A stone that was only looked at, as the heat model had it then: what a curve of estimates says at a moment. */
export function estimateAt(estimates: readonly StoneEstimate[], t: number): Reading | null {
  const [now, before] = [estimateOf(estimates, t), estimateOf(estimates, t - RATE_SPAN_SECONDS)];
  if (!now) return null;
  const [celsius, error] = now;
  return { celsius, error, perMinute: before && ((celsius - before[0]) * 60) / RATE_SPAN_SECONDS };
}

/** A base may touch so long before the tap that tells of it, s: the rate at a launch leaves that out. */
const TOUCHED_BEFORE_SECONDS = 10;

/**
 * The stone at a launch, by its one definition (`shared/cook/stone-at-launch.ts`): the last reading may be of a stone
 * on which a cold base lies already. Null at any other moment, and where it is not known.
 */
export function atLaunch(
  run: CookDetail['run'],
  t: number,
  points: readonly Point[],
  stone: string,
): Reading | null {
  const entry = run.find(
    ({ pizza: { launchedAt } }) => launchedAt !== null && Math.abs(launchedAt - t) <= AT_LAUNCH_SECONDS,
  );
  const celsius = entry?.review.stoneAtLaunch ?? null;
  return celsius === null
    ? null
    : { celsius, perMinute: readAt(points, stone, t - TOUCHED_BEFORE_SECONDS).perMinute };
}

/** Where in the run of pizzas a moment lies. `seconds` counts from the launch, from the off before, or to the first launch. */
export type Moment =
  | { is: 'before'; seconds: number }
  | { is: 'baking'; pizza: Pizza; number: number; seconds: number; of: number | null }
  | { is: 'between'; pizza: Pizza; number: number; seconds: number };

/** @returns null of a cook without a pizza */
export function momentAt(
  { run, seconds: end }: Pick<CookDetail, 'run' | 'seconds'>,
  t: number,
): Moment | null {
  const launched = run
    .flatMap(({ pizza }) => (pizza.launchedAt === null ? [] : [{ pizza, from: pizza.launchedAt }]))
    .sort((a, b) => a.from - b.from);
  const place = launched.findLastIndex(({ from }) => from <= t);
  const at = launched[place];
  if (!at) return launched[0] ? { is: 'before', seconds: launched[0].from - t } : null;
  const { pizza, from } = at;
  const number = place + 1;
  const of = pizza.offAt === null ? null : pizza.offAt - from;
  if (t <= (pizza.offAt ?? end)) return { is: 'baking', pizza, number, seconds: t - from, of };
  return { is: 'between', pizza, number, seconds: t - (pizza.offAt ?? end) };
}

/** The marks within `apart` s of a moment, the nearest first, at most `most`. */
export const marksNear = (marks: readonly CookMark[], t: number, apart: number, most: number): CookMark[] =>
  marks
    .filter((mark) => Math.abs(mark.t - t) <= apart)
    .sort((a, b) => Math.abs(a.t - t) - Math.abs(b.t - t))
    .slice(0, most)
    .sort((a, b) => a.t - b.t);

/** The next of `times` in a direction, 1 or −1; null where there is none. A hair's breadth away counts as here. */
export function nextOf(times: readonly number[], t: number, direction: 1 | -1): number | null {
  const ahead = times.filter((time) => (time - t) * direction > 0.05).sort((a, b) => (a - b) * direction);
  return ahead[0] ?? null;
}
