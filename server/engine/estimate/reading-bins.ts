import { leastSquares, type Line } from '../../../shared/statistics/least-squares.ts';

/** Means of the readings of each 5 s, the last 5 min of them: small, and even for any reporting interval. */
export type Bins = {
  origin: number | null;
  t: number[];
  celsius: number[];
  sum: number;
  sumTime: number;
  count: number;
  slot: number;
};
const BIN_SECONDS = 5;
const MAX_BINS = 60;

export const freshBins = (): Bins => ({
  origin: null,
  t: [],
  celsius: [],
  sum: 0,
  sumTime: 0,
  count: 0,
  slot: 0,
});

export function addToBins(bins: Bins, t: number, celsius: number): void {
  bins.origin ??= t;
  const slot = Math.floor((t - bins.origin) / BIN_SECONDS);
  if (bins.count > 0 && slot !== bins.slot) closeBin(bins);
  bins.slot = slot;
  bins.sum += celsius;
  bins.sumTime += t;
  bins.count += 1;
}

function closeBin(bins: Bins): void {
  bins.t.push(bins.sumTime / bins.count);
  bins.celsius.push(bins.sum / bins.count);
  bins.sum = 0;
  bins.sumTime = 0;
  bins.count = 0;
  if (bins.t.length > MAX_BINS) {
    bins.t.shift();
    bins.celsius.shift();
  }
}

/**
 * The line through the bins from `from` to `to`, times told from `to` on; null where fewer than three lie there.
 * Bins are in the order of time, so that only their end is walked.
 */
export function lineThrough(bins: Bins, from: number, to: number): Line | null {
  let end = bins.t.length;
  while (end > 0 && (bins.t[end - 1] ?? 0) > to) end--;
  let start = end;
  while (start > 0 && (bins.t[start - 1] ?? 0) >= from) start--;
  const times = bins.t.slice(start, end);
  const values = bins.celsius.slice(start, end);
  const now = bins.count > 0 ? bins.sumTime / bins.count : null;
  if (now !== null && now >= from && now <= to) {
    times.push(now);
    values.push(bins.sum / bins.count);
  }
  const line = times.length < 3 ? null : leastSquares(times, values);
  if (line) line.intercept += line.slope * to;
  return line;
}
