import { median } from '../bench.ts';

/** Steps of the bare loop. */
export const STEPS = 1_000_000;

/**
 * The bare counterpart of everything that computes: steps of a scalar Kalman filter in one plain loop. It is given to
 * Chromium as text too, so that it uses nothing from outside. @returns ms
 */
export function bareLoop(steps: number): number {
  const start = performance.now();
  let x = 0;
  let p = 1;
  for (let i = 0; i < steps; i++) {
    const gain = p / (p + 0.1);
    x += gain * (Math.sin(i / 50) - x);
    p = (1 - gain) * p + 0.01;
  }
  const took = performance.now() - start;
  if (Number.isNaN(x)) throw new Error('the filter diverged');
  return took;
}

/** How fast this machine is at this hour: µs a step of the bare loop, median of some after it was compiled. */
export function calibration(): number {
  bareLoop(STEPS);
  return (median(Array.from({ length: 9 }, () => bareLoop(STEPS))) * 1000) / STEPS;
}
