import { solve } from './arithmetic.ts';

/**
 * Share of Student's t with `nu` degrees of freedom, a whole number from 1, that lies below `t`: the finite series of
 * Abramowitz & Stegun 26.7.3 and 26.7.4 in θ = arctan(t/√ν), exact.
 */
export function studentBelow(t: number, nu: number): number {
  const theta = Math.atan(Math.abs(t) / Math.sqrt(nu));
  const [sin, cos] = [Math.sin(theta), Math.cos(theta)];
  const isOdd = nu % 2 === 1;
  let term = isOdd ? cos : 1;
  let sum = nu === 1 ? 0 : term;
  for (let k = isOdd ? 3 : 2; k <= nu - 2; k += 2) {
    term *= ((k - 1) / k) * cos * cos;
    sum += term;
  }
  const both = isOdd ? (2 / Math.PI) * (theta + sin * sum) : sin * sum;
  return (1 + Math.sign(t) * both) / 2;
}

/** The t below which the share `p` lies, from 0.5 to 0.9999, to 1e-6. */
export const studentQuantile = (p: number, nu: number): number =>
  solve((t) => studentBelow(t, nu), p, [0, 1e5], 1e-6);
