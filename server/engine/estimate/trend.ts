/** A straight line by least squares: value at the mean time, slope, and the slope's standard error. */
export type Line = {
  slope: number;
  intercept: number;
  meanTime: number;
  slopeError: number | null;
  count: number;
};

/**
 * Ordinary least squares, centred first so that large times do no harm (textbook):
 * b = Σ(tᵢ − t̄)(yᵢ − ȳ)/Sxx, s² = RSS/(n − 2), se(b) = √(s²/Sxx). `intercept` is the value at time 0.
 * @returns null with fewer than two distinct times; `slopeError` null with two points
 */
export function leastSquares(times: readonly number[], values: readonly number[]): Line | null {
  const n = times.length;
  if (n < 2) return null;
  let meanTime = 0;
  let mean = 0;
  // Told from the first on: sums of large times would lose what is small beside them.
  const first = times[0] ?? 0;
  for (let i = 0; i < n; i++) {
    meanTime += ((times[i] ?? 0) - first) / n;
    mean += (values[i] ?? 0) / n;
  }
  meanTime += first;
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    const dt = (times[i] ?? 0) - meanTime;
    sxx += dt * dt;
    sxy += dt * ((values[i] ?? 0) - mean);
  }
  if (sxx === 0) return null;
  const slope = sxy / sxx;
  return {
    slope,
    intercept: mean - slope * meanTime,
    meanTime,
    slopeError: slopeError(times, values, { slope, meanTime, mean, sxx }),
    count: n,
  };
}

type Fit = { slope: number; meanTime: number; mean: number; sxx: number };

function slopeError(times: readonly number[], values: readonly number[], fit: Fit): number | null {
  const n = times.length;
  if (n < 3) return null;
  let rss = 0;
  for (let i = 0; i < n; i++)
    rss += ((values[i] ?? 0) - fit.mean - fit.slope * ((times[i] ?? 0) - fit.meanTime)) ** 2;
  return Math.sqrt(rss / (n - 2) / fit.sxx);
}

export const valueAt = (line: Line, t: number): number => line.intercept + line.slope * t;

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
const BIN = 5;
const MOST_BINS = 60;

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
  const slot = Math.floor((t - bins.origin) / BIN);
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
  if (bins.t.length > MOST_BINS) {
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
