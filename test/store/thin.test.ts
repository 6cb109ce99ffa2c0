import fc from 'fast-check';
import { expect, it } from 'vitest';
import { sharing, Thinning } from '../../server/store/readings/thin.ts';
import { forAll } from '../support/property.ts';

const series = (ys: readonly (number | null)[]) => ys.map((celsius, t) => ({ t, celsius }));

function thin(rows: ReturnType<typeof series>, points: number) {
  const thinning = new Thinning<(typeof rows)[number]>(points, sharing(0, rows.length - 1, points));
  for (const row of rows) thinning.take(row);
  return thinning.rows();
}

// Min-max thinning, worked by hand: y = 0 1 10 2 3 −5 4 3 2 0 in two buckets keeps 0, 2, 5, 6 (the first and last of
// all are kept besides).
it('keeps the lowest and highest of each bucket', () => {
  const thinned = thin(series([0, 1, 10, 2, 3, -5, 4, 3, 2, 0]), 4).map((p) => p.t);
  expect(thinned).toEqual(expect.arrayContaining([0, 2, 5, 9]));
  expect(thinned).toEqual([...thinned].sort((a, b) => a - b));
});

it('leaves short series as they are', () => {
  expect(thin(series([1, 2, 3]), 5)).toEqual(series([1, 2, 3]));
});

it('always keeps the extremes and never more than asked for', () => {
  forAll(
    {},
    fc.array(fc.double({ noNaN: true, min: -50, max: 900 }), { minLength: 3, maxLength: 400 }),
    fc.integer({ min: 4, max: 60 }),
    (ys, points) => {
      const thinned = thin(series(ys), points);
      const values = thinned.map((p) => p.celsius ?? 0);
      return (
        Math.max(...values) === Math.max(...ys) &&
        Math.min(...values) === Math.min(...ys) &&
        thinned.length <= Math.max(points + 2, 4)
      );
    },
  );
});
