import { describe, expect, test } from 'vitest';
import { fit, track } from '../../../server/engine/heat/grill-fit.ts';
import { freshHistory, STEP_SECONDS, type History } from '../../../server/engine/heat/heat-history.ts';
import { predict, update, type Covariance } from '../../../server/engine/heat/kalman.ts';
import { cholesky, rootsOfInverse, solve } from '../../../server/engine/heat/linear.ts';
import { ANY_GRILL, PARAMETER_COUNT, thetaOf } from '../../../server/engine/heat/parameters.ts';
import { createRandom } from '../../simulator/random.ts';

const heat = (surface: number) => ({ surface, bulk: 0, extra: 0, wall: 0, base: 0, pizza: 0 });

describe('the filter', () => {
  test('is the scalar Kalman filter where only the surface is unsure: K = P/(P + R), P⁺ = P·R/(P + R)', () => {
    const P: Covariance = { ss: 4, sb: 0, sd: 0, bb: 0, bd: 0, dd: 0 };
    const h = heat(100);
    const error = update(h, P, 103, 2);
    expect(h.surface).toBeCloseTo(102, 12);
    expect(P.ss).toBeCloseTo(4 / 3, 12);
    expect(error).toBeCloseTo(3 / Math.sqrt(6), 12);
  });

  test('carries the covariance as F·P·Fᵀ + Q·dt, multiplied out by hand', () => {
    const P: Covariance = { ss: 4, sb: 1, sd: 0.1, bb: 3, bd: 0.2, dd: 0.05 };
    const F = { ss: 0.8, sb: 0.2, bs: 0.1, bb: 0.9, dd: 0.5 };
    predict(P, F, { s: 0.1, b: 0.2, d: 0.01 }, 2);
    const f = [
      [0.8, 0.2, 2],
      [0.1, 0.9, 2],
      [0, 0, 0.5],
    ];
    const p = [
      [4, 1, 0.1],
      [1, 3, 0.2],
      [0.1, 0.2, 0.05],
    ];
    const product = (i: number, j: number): number => {
      let sum = 0;
      for (let k = 0; k < 3; k++)
        for (let l = 0; l < 3; l++) sum += (f[i]?.[k] ?? 0) * (p[k]?.[l] ?? 0) * (f[j]?.[l] ?? 0);
      return sum;
    };
    expect(P.ss).toBeCloseTo(product(0, 0) + 0.2, 12);
    expect(P.sb).toBeCloseTo(product(0, 1), 12);
    expect(P.sd).toBeCloseTo(product(0, 2), 12);
    expect(P.bb).toBeCloseTo(product(1, 1) + 0.4, 12);
    expect(P.bd).toBeCloseTo(product(1, 2), 12);
    expect(P.dd).toBeCloseTo(product(2, 2) + 0.02, 12);
  });
});

test('a matrix is solved and its inverse taken apart', () => {
  const A = [
    [4, 1, 0.5],
    [1, 3, 0.2],
    [0.5, 0.2, 2],
  ];
  const G = cholesky(A);
  const x = solve(G, [1, 2, 3]);
  A.forEach((row, i) => expect(row.reduce((sum, a, j) => sum + a * (x[j] ?? 0), 0)).toBeCloseTo(i + 1, 12));
  const roots = rootsOfInverse(G);
  const inverse = A.map((_, i) =>
    A.map((__, j) => roots.reduce((sum, root) => sum + (root[i] ?? 0) * (root[j] ?? 0), 0)),
  );
  A.forEach((row, i) =>
    inverse.forEach((__, j) =>
      expect(row.reduce((sum, a, k) => sum + a * (inverse[k]?.[j] ?? 0), 0)).toBeCloseTo(i === j ? 1 : 0, 12),
    ),
  );
});

/** A warm-up of two hours with a dome that a hand moves, and looks every 5 min of the model's own stone. */
function warmUp(z: readonly number[], noise: number): { history: History; stone: number[] } {
  const history = freshHistory(15);
  const random = createRandom(11);
  for (let i = 0; i < 720; i++) {
    const t = i * STEP_SECONDS;
    history.dome.push(15 + 265 * (1 - Math.exp(-t / 700)) + 18 * Math.sin(t / 500));
    history.hands.push(0);
  }
  const stone: number[] = [];
  const theta = thetaOf(ANY_GRILL, z);
  for (let i = 0; i < 720; i++) {
    const part = { ...history, dome: history.dome.slice(0, i + 1), hands: history.hands.slice(0, i + 1) };
    if (i % 30 !== 29) continue;
    const celsius = track({ ...part, looks: [] }, theta, null).heat.surface;
    stone.push(celsius);
    history.looks.push({ slot: i, celsius: celsius + noise * random.normal(), variance: 1.4, leap: 0 });
  }
  return { history, stone };
}

describe('the fit', () => {
  const z = [1, -0.8, 0.7, 0.5, -1, 0.6, 0.5, -0.6, 0];
  const nought = Array.from({ length: PARAMETER_COUNT }, () => 0);

  test('of looks at stones that the model made predicts the next 20 min better than by half', () => {
    const random = createRandom(5);
    const squares = { fitted: 0, unfitted: 0 };
    for (let n = 0; n < 6; n++) {
      const { history, stone } = warmUp(
        z.map(() => random.normal()),
        1.2,
      );
      const until = (steps: number): History => ({
        ...history,
        dome: history.dome.slice(0, steps),
        hands: history.hands.slice(0, steps),
        looks: history.looks.slice(0, 12),
      });
      const errorBy = (found: readonly number[]): number =>
        track(until(480), thetaOf(ANY_GRILL, found), null).heat.surface - (stone[15] ?? 0);
      squares.fitted += errorBy(fit(until(360), ANY_GRILL, nought, 12).z) ** 2;
      squares.unfitted += errorBy(nought) ** 2;
    }
    expect(Math.sqrt(squares.fitted)).toBeLessThan(0.5 * Math.sqrt(squares.unfitted));
  });

  test('says by how much it may be off: with looks its doubt shrinks, in no direction it grows', () => {
    const { history } = warmUp(z, 1.2);
    const { roots } = fit(history, ANY_GRILL, nought, 12);
    const variances = nought.map((_, i) => roots.reduce((sum, root) => sum + (root[i] ?? 0) ** 2, 0));
    for (const variance of variances) expect(variance).toBeLessThanOrEqual(1 + 1e-9);
    expect(Math.min(...variances)).toBeLessThan(0.2);
  });

  test('given one outlying look, is not led astray', () => {
    const { history, stone } = warmUp(z, 1.2);
    const outlier = history.looks.with(8, { slot: 269, celsius: 90, variance: 1.4, leap: 0 });
    const found = fit({ ...history, looks: outlier }, ANY_GRILL, nought, 12);
    const end = track(history, thetaOf(ANY_GRILL, found.z), null).heat.surface;
    expect(Math.abs(end - (stone.at(-1) ?? 0))).toBeLessThan(3);
  });
});
