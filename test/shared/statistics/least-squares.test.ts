import { linearRegression, linearRegressionLine, sampleVariance } from 'simple-statistics';
import { expect, test } from 'vitest';
import { leastSquares } from '../../../shared/statistics/least-squares.ts';
import { createRandom } from '../../simulator/random.ts';

test.each([
  // t, y, slope, intercept, se(b): least squares, worked by hand
  [[0, 1, 2, 3, 4], [20, 29, 41, 50, 60], 10.1, 19.8, 0.2516611],
  [[0, 5, 12, 20, 33], [200, 202.4, 206.1, 209.8, 216.7], 0.5048673, 199.931858, 0.00642398],
  [[0, 1, 2, 3], [250, 250, 250, 250], 0, 250, 0],
] as const)('the worked table: %j', (t, y, slope, intercept, error) => {
  const line = leastSquares(t, y);
  expect(line?.slope).toBeCloseTo(slope, 6);
  expect(line?.intercept).toBeCloseTo(intercept, 5);
  expect(line?.slopeError).toBeCloseTo(error, 6);
});

test('times as Unix milliseconds do no harm', () => {
  const t = [0, 5, 12, 20, 33].map((s) => 1.75e12 + s);
  expect(leastSquares(t, [200, 202.4, 206.1, 209.8, 216.7])?.slope).toBeCloseTo(0.5048673, 6);
});

test('two points have a slope and no error; equal times have none', () => {
  expect(leastSquares([0, 2], [1, 5])).toMatchObject({ slope: 2, slopeError: null });
  expect(leastSquares([3, 3, 3], [1, 2, 3])).toBeNull();
});

test('slope and error as simple-statistics has them', () => {
  const random = createRandom(3);
  const t = Array.from({ length: 40 }, () => random.between(0, 120));
  const y = t.map((at) => 250 + 0.05 * at + random.normal());
  const theirs = linearRegression(t.map((at, i) => [at, y[i] ?? 0]));
  const line = leastSquares(t, y);
  expect(line?.slope).toBeCloseTo(theirs.m, 10);
  expect(line?.intercept).toBeCloseTo(theirs.b, 8);
  // se(b)² = RSS/(n − 2)/Sxx, from their line and their variance
  const at = linearRegressionLine(theirs);
  const rss = t.reduce((sum, x, i) => sum + ((y[i] ?? 0) - at(x)) ** 2, 0);
  expect(line?.slopeError).toBeCloseTo(Math.sqrt(rss / 38 / (sampleVariance(t) * 39)), 10);
});
