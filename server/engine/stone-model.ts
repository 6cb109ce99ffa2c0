import type { GrillPrior } from '../../shared/engine.ts';
import { VERSION, valueOf } from './prior.ts';

/**
 * The stone follows the air above and the deflector below with one time constant. Seen from the dome alone, the
 * deflector is an offset: dT/dt = (dome + offset − T)/τ = a·(dome − T) + c, a = 1/τ, c = offset/τ.
 * a (1/s) and c (°C/s) are learnt by recursive least squares with forgetting, since the fire's share wanders.
 */
export type StoneModel = {
  a: number;
  c: number;
  p11: number;
  p12: number;
  p22: number;
  taught: number;
  at: number;
};

/** Without a prior: τ 22 min, offset 45 °C (our choice, of the kind that handbook section 7 makes likely). */
const TAU = 1300;
const OFFSET = 55;

export function freshModel(prior: GrillPrior | null): StoneModel {
  const tau = valueOf(prior, 'tau', TAU);
  const offset = valueOf(prior, 'offset', OFFSET);
  // A prior of several cooks is trusted more.
  const trust = 1 / (1 + (prior?.version === VERSION ? prior.cooks : 0));
  return {
    a: 1 / tau,
    c: offset / tau,
    p11: (0.3 / tau) ** 2 * (0.3 + 0.7 * trust),
    p12: 0,
    p22: (40 / tau) ** 2,
    taught: 0,
    at: -1e6,
  };
}

/** The noise of a rate over a minute, °C/s, and how fast the offset may wander, (°C/s)² per s (our choice). */
const RATE_NOISE = 0.008;
const WANDER = (25 / TAU) ** 2 / 900;
const A_WANDER = (0.1 / TAU) ** 2 / 1800;

/** Learns from a stone that changes at `rate`, °C/s, with the dome `excess` °C above it. */
export function teach(model: StoneModel, t: number, excess: number, rate: number): void {
  const dt = Math.min(60, t - model.at);
  model.at = t;
  model.p11 += A_WANDER * dt;
  model.p22 += WANDER * dt;
  const h1 = model.p11 * excess + model.p12;
  const h2 = model.p12 * excess + model.p22;
  // A minute's rates overlap: each counts for its share of the minute only.
  const s = excess * h1 + h2 + RATE_NOISE ** 2 * Math.max(1, 60 / dt);
  const innovation = rate - model.a * excess - model.c;
  const k1 = h1 / s;
  const k2 = h2 / s;
  model.a += k1 * innovation;
  model.c += k2 * innovation;
  model.p11 -= k1 * h1;
  model.p12 -= k1 * h2;
  model.p22 -= k2 * h2;
  keepPhysical(model);
  model.taught += dt;
}

/** A stone takes 5 to 60 minutes and sits within 200 °C of the dome. */
function keepPhysical(model: StoneModel): void {
  model.a = Math.min(1 / 300, Math.max(1 / 3600, model.a));
  model.c = Math.min(200 * model.a, Math.max(-150 * model.a, model.c));
}

/** What the stone would come to if the dome stayed at `dome`, °C. */
export const settlesAt = (model: StoneModel, dome: number): number => dome + model.c / model.a;
