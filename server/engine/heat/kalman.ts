import type { Coupling, Heat } from './model.ts';

/** Covariance of (S, B, d), its upper triangle. */
export type Covariance = { ss: number; sb: number; sd: number; bb: number; bd: number; dd: number };

/** Spelled out for the same reason as a copy of a heat. */
export const copyOfCovariance = ({ ss, sb, sd, bb, bd, dd }: Covariance): Covariance => ({
  ss,
  sb,
  sd,
  bb,
  bd,
  dd,
});

/** Variance that a second adds to S, B and d. */
export type Noise = { s: number; b: number; d: number };

/** P ← F·P·Fᵀ + Q·dt with F = [ss sb dt; bs bb dt; 0 0 dd], in place. */
export function predict(P: Covariance, F: Coupling, Q: Noise, dt: number): void {
  const s1 = F.ss * P.ss + F.sb * P.sb + dt * P.sd;
  const s2 = F.ss * P.sb + F.sb * P.bb + dt * P.bd;
  const s3 = F.ss * P.sd + F.sb * P.bd + dt * P.dd;
  const b1 = F.bs * P.ss + F.bb * P.sb + dt * P.sd;
  const b2 = F.bs * P.sb + F.bb * P.bb + dt * P.bd;
  const b3 = F.bs * P.sd + F.bb * P.bd + dt * P.dd;
  P.ss = s1 * F.ss + s2 * F.sb + s3 * dt + Q.s * dt;
  P.sb = s1 * F.bs + s2 * F.bb + s3 * dt;
  P.sd = s3 * F.dd;
  P.bb = b1 * F.bs + b2 * F.bb + b3 * dt + Q.b * dt;
  P.bd = b3 * F.dd;
  P.dd = F.dd * F.dd * P.dd + Q.d * dt;
}

/** A measurement z of S with variance R: K = P·Hᵀ/(P_ss + R), x ← x + K·ν, P ← P − K·H·P, in place. @returns ν/√s */
export function update(heat: Heat, P: Covariance, z: number, R: number): number {
  const s = P.ss + R;
  const innovation = z - heat.surface;
  const ks = P.ss / s;
  const kb = P.sb / s;
  const kd = P.sd / s;
  heat.surface += ks * innovation;
  heat.bulk += kb * innovation;
  heat.extra += kd * innovation;
  P.dd -= kd * P.sd;
  P.bd -= kb * P.sd;
  P.bb -= kb * P.sb;
  P.sd *= 1 - ks;
  P.sb *= 1 - ks;
  P.ss *= 1 - ks;
  return innovation / Math.sqrt(s);
}

/** The stone leapt, surface and bulk together, by something of that variance that no model knows. */
export function loosen(P: Covariance, variance: number): void {
  P.ss += variance;
  P.sb += 0.8 * variance;
  P.bb += variance;
}
