import { expect, test } from 'vitest';
import { addToBins, freshBins, lineThrough } from '../../../server/engine/estimate/reading-bins.ts';
import { valueAt } from '../../../shared/statistics/least-squares.ts';

test('bins keep five minutes and give the line of what came in', () => {
  const bins = freshBins();
  for (let t = 0; t < 2000; t++) addToBins(bins, t, 100 + 0.1 * t);
  expect(bins.t.length).toBe(60);
  const line = lineThrough(bins, 1880, 2000);
  expect(line?.slope).toBeCloseTo(0.1, 9);
  expect(line && valueAt(line, 0)).toBeCloseTo(300, 6);
  expect(lineThrough(bins, 0, 100)).toBeNull();
});
