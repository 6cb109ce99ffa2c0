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
  // Counted from the first on: sums of large times would lose what is small beside them.
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
