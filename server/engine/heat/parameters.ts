import type { Parameters } from './model.ts';

/** What is known of grills before this one was seen: mean of θ = (ln a, ln r, ln b, ln k, ln τ_w, ln τ_p, g, e, ln u) and a root L of its covariance. */
export type Belief = { mean: readonly number[]; root: readonly (readonly number[])[] };

export const PARAMETER_COUNT = 9;

/** Grills as the project's own bank has them. */
export const USUAL_GRILL: Belief = {
  mean: [-7.6, -7.7, -6.85, -6.0, 6.4, 7.2, 0.5, 0.38, -7.4],
  root: [
    [0.35],
    [-0.051, 0.497],
    [-0.178, 0.218, 0.802],
    [0.324, 0.06, -0.03, 0.673],
    [-0.017, -0.151, -0.011, -0.106, 0.932],
    [-0.061, 0.207, 0.182, 0.119, -0.095, 0.507],
    [0.18, -0.14, -0.079, 0.033, -0.026, -0.123, 0.698],
    [-0.009, 0.064, 0.021, 0.042, -0.106, 0.072, -0.001, 0.259],
    [0.155, -0.077, 0.034, 0.125, 0.052, -0.033, 0.084, -0.029, 0.494],
  ],
};

/** The bank holds a few makes; grills at large differ from each other by so much more (grill-fit.ts). */
const PRIOR_SPREAD_FACTOR = 1.6;
export const ANY_GRILL: Belief = {
  mean: USUAL_GRILL.mean,
  root: USUAL_GRILL.root.map((row) => row.map((value) => PRIOR_SPREAD_FACTOR * value)),
};

/** θ = μ + L·z. */
export function thetaOf({ mean, root }: Belief, z: readonly number[]): number[] {
  return mean.map((m, i) => {
    let value = m;
    const row = root[i];
    if (row) for (let j = 0; j <= i; j++) value += (row[j] ?? 0) * (z[j] ?? 0);
    return value;
  });
}

/** z of θ = μ + L·z. */
export function zOf({ mean, root }: Belief, theta: readonly number[]): number[] {
  const z: number[] = [];
  for (const [i, row] of root.entries()) {
    let rest = (theta[i] ?? 0) - (mean[i] ?? 0);
    for (let j = 0; j < i; j++) rest -= (row[j] ?? 0) * (z[j] ?? 0);
    z.push(rest / (row[i] ?? 1));
  }
  return z;
}

/** Explicit steps bear no faster exchange, 1/s. */
const MAX_EXCHANGE_PER_SECOND = 0.02;
const limited = (log: number): number => Math.min(MAX_EXCHANGE_PER_SECOND, Math.exp(log));

export function parametersOf(theta: readonly number[]): Parameters {
  const [a = 0, r = 0, b = 0, k = 0, tauW = 0, tauP = 0, g = 0, e = 0, u = 0] = theta;
  return {
    a: limited(a),
    r: limited(r),
    b: limited(b),
    k: limited(k),
    tauW: Math.max(60, Math.exp(tauW)),
    tauP: Math.max(60, Math.exp(tauP)),
    g,
    e,
    u: limited(u),
  };
}
