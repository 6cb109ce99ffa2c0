import type { PlanSettings } from '../../../shared/evening/evening.ts';
import { studentBelow, studentQuantile } from '../student.ts';

/** What is believed of a fire's lead (lighting to a ready stone): log-minutes, Student-t with `nu` degrees of freedom. */
type LeadBelief = { mu: number; scale: number; nu: number; cooks: number };

/**
 * Before any cook: 60 min in the middle and 40 to 90 min for most (our estimate: body 0.8 to 1.9 h of time
 * constant, wall 15 to 20 min; common practice). It weighs as two cooks for the middle and four for the spread.
 */
const LEAD_PRIOR = { mu: Math.log(60), sd: 0.22, weight: 2, nu: 4 };
/** Only so many of the last cooks count: charcoal, gaskets and people change. */
const MAX_COOKS = 15;

/**
 * Belief from the leads of earlier cooks, min, 10 to 300 each, oldest first. Normal-inverse-χ² posterior of the
 * logarithms (any text on Bayesian data analysis): κ_n = κ₀ + n, μ_n = (κ₀μ₀ + n·x̄)/κ_n, ν_n = ν₀ + n,
 * ν_n·σ_n² = ν₀σ₀² + Σ(x − x̄)² + κ₀n(x̄ − μ₀)²/κ_n; a next one has the scale σ_n·√(1 + 1/κ_n).
 */
export function leadBelief(leads: readonly number[]): LeadBelief {
  const logs = leads.slice(-MAX_COOKS).map((each) => Math.log(each));
  const n = logs.length;
  const mean = n ? logs.reduce((sum, each) => sum + each, 0) / n : LEAD_PRIOR.mu;
  const kappa = LEAD_PRIOR.weight + n;
  const nu = LEAD_PRIOR.nu + n;
  const spread = logs.reduce((sum, each) => sum + (each - mean) ** 2, 0);
  const pull = (LEAD_PRIOR.weight * n * (mean - LEAD_PRIOR.mu) ** 2) / kappa;
  const variance = (LEAD_PRIOR.nu * LEAD_PRIOR.sd ** 2 + spread + pull) / nu;
  const mu = (LEAD_PRIOR.weight * LEAD_PRIOR.mu + n * mean) / kappa;
  return { mu, scale: Math.sqrt(variance * (1 + 1 / kappa)), nu, cooks: n };
}

/** Chance, 0 to 1, that the stone is ready within so many minutes of lighting. */
export function readyWithin(belief: LeadBelief, minutes: number): number {
  if (minutes <= 0) return 0;
  return studentBelow((Math.log(minutes) - belief.mu) / belief.scale, belief.nu);
}

/** Minutes within which the stone is ready in `p` of all cooks, p from 0.01 to 0.99. */
export function leadFor({ mu, scale, nu }: LeadBelief, p: number): number {
  const t = p < 0.5 ? -studentQuantile(1 - p, nu) : studentQuantile(p, nu);
  return Math.exp(mu + scale * t);
}

/** The body when it bakes, °C, by so much cooler than the middle of the stone's band (common practice, no source). */
export const BODY_C = 250;
const BODY_UNDER_STONE_CELSIUS = 20;
/** The height, m, over which air thins to 1/e (textbook, isothermal at about 15 °C). */
const SCALE_HEIGHT_METRES = 8400;

/** The air around the grill, °C, whether the wind reaches it, and how hot the body is held, °C. */
export type Weather = { outsideC: number; windy: boolean; altitudeM: number; bodyC: number };
export const weatherOf = ({ outsideC, windy, altitudeM, stoneBand }: PlanSettings): Weather => ({
  outsideC: outsideC ?? 20,
  windy: windy ?? false,
  altitudeM,
  bodyC: stoneBand ? (stoneBand[0] + stoneBand[1]) / 2 - BODY_UNDER_STONE_CELSIUS : BODY_C,
});

/**
 * How many times longer a fire takes than on a calm evening of 20 °C at the sea: by the heat the body has to gain, a
 * tenth more in wind, and by the square root of thin air, since wider vents make up for half of it (our estimates).
 */
export function slowness({ outsideC, windy, altitudeM }: Omit<Weather, 'bodyC'>): number {
  const heat = (BODY_C - outsideC) / (BODY_C - 20);
  return heat * (windy ? 1.1 : 1) * Math.exp(Math.max(0, altitudeM) / SCALE_HEIGHT_METRES / 2);
}

/**
 * The same for this plan: also by the heat that a body needs for a band of its own, where no cook of this grill is known;
 * known ones took it.
 */
export function slownessOf(settings: PlanSettings, { cooks }: LeadBelief): number {
  const weather = weatherOf(settings);
  const { bodyC, outsideC } = weather;
  return slowness(weather) * (cooks > 0 ? 1 : (bodyC - outsideC) / (BODY_C - outsideC));
}
