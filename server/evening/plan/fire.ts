import { within } from '../range.ts';

/** What is believed of a fire's lead (lighting to a ready stone): log-minutes, Student-t with `nu` degrees of freedom. */
export type LeadBelief = { mu: number; scale: number; nu: number; cooks: number };

/**
 * Before any cook: 60 min in the middle and 40 to 90 min for most (handbook section 11: body 0.8 to 1.9 h of time
 * constant, wall 15 to 20 min; common practice). It weighs as two cooks for the middle and four for the spread.
 */
const PRIOR = { mu: Math.log(60), sd: 0.22, weight: 2, nu: 4 };
/** Only so many of the last cooks count: charcoal, gaskets and people change. */
const LATEST = 15;

/**
 * Belief from the leads of earlier cooks, min, 10 to 300 each, oldest first. Normal-inverse-χ² posterior of the
 * logarithms (any text on Bayesian data analysis): κ_n = κ₀ + n, μ_n = (κ₀μ₀ + n·x̄)/κ_n, ν_n = ν₀ + n,
 * ν_n·σ_n² = ν₀σ₀² + Σ(x − x̄)² + κ₀n(x̄ − μ₀)²/κ_n; a next one has the scale σ_n·√(1 + 1/κ_n).
 */
export function leadBelief(leads: readonly number[]): LeadBelief {
  const logs = leads
    .slice(-LATEST)
    .map((each) => Math.log(within('A lead of the fire', each, [10, 300], 'min')));
  const n = logs.length;
  const mean = n ? logs.reduce((sum, each) => sum + each, 0) / n : PRIOR.mu;
  const kappa = PRIOR.weight + n;
  const nu = PRIOR.nu + n;
  const spread = logs.reduce((sum, each) => sum + (each - mean) ** 2, 0);
  const pull = (PRIOR.weight * n * (mean - PRIOR.mu) ** 2) / kappa;
  const variance = (PRIOR.nu * PRIOR.sd ** 2 + spread + pull) / nu;
  const mu = (PRIOR.weight * PRIOR.mu + n * mean) / kappa;
  return { mu, scale: Math.sqrt(variance * (1 + 1 / kappa)), nu, cooks: n };
}

/** Φ, the normal distribution: Abramowitz & Stegun 26.2.17, to 7.5e−8 (recalled, tested against simple-statistics). */
function normalBelow(z: number): number {
  if (z < 0) return 1 - normalBelow(-z);
  const t = 1 / (1 + 0.2316419 * z);
  const poly =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return 1 - (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * poly;
}

/** Student's t below `t`: Abramowitz & Stegun 26.7.8, z = t(1 − 1/4ν)/√(1 + t²/2ν); within 0.01 for ν ≥ 3. */
const studentBelow = (t: number, nu: number): number =>
  normalBelow((t * (1 - 1 / (4 * nu))) / Math.sqrt(1 + (t * t) / (2 * nu)));

/** Chance, 0 to 1, that the stone is ready within so many minutes of lighting. */
export function readyWithin(belief: LeadBelief, minutes: number): number {
  if (minutes <= 0) return 0;
  return studentBelow((Math.log(minutes) - belief.mu) / belief.scale, belief.nu);
}

/** Minutes within which the stone is ready in `p` of all cooks, p from 0.01 to 0.99; by halving, to 0.1 min. */
export function leadFor(belief: LeadBelief, p: number): number {
  within('The chance', p, [0.01, 0.99]);
  let [low, high] = [1, 2000];
  while (high - low > 0.1) {
    const middle = (low + high) / 2;
    if (readyWithin(belief, middle) < p) low = middle;
    else high = middle;
  }
  return high;
}
