import fc from 'fast-check';
import { expect, it } from 'vitest';
import { thinDrawing } from '../../../../../web/stores/derive/curve/thin-drawing.ts';
import { forAll } from '../../../../support/property.ts';

const cell = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: -50, max: 900 }) },
  fc.constant(null),
  fc.constant(undefined),
);
const rows = fc.array(fc.tuple(cell, cell), { maxLength: 300 });

/** Plain min-max: of each bucket that is seen, lowest and highest. */
function plain(times: readonly number[], cells: readonly (number | null | undefined)[], width: number) {
  const buckets = new Map<number, [number, number]>();
  times.forEach((t, row) => {
    const value = cells[row];
    if (value == null) return;
    const [low, high] = buckets.get(Math.floor(t / width)) ?? [value, value];
    buckets.set(Math.floor(t / width), [Math.min(low, value), Math.max(high, value)]);
  });
  return [...buckets];
}

it('keeps every peak of every curve, in rows that ascend, three a bucket at most', () => {
  forAll({}, rows, fc.integer({ min: 1, max: 80 }), (pairs, buckets) => {
    const times = pairs.map((_, row) => row * 1.5);
    const columns = [0, 1].map((i) => pairs.map((pair) => pair[i]));
    const seen = { from: 0, to: Math.max(1, times.at(-1) ?? 0) };
    const drawn = thinDrawing({ times, columns }, seen, buckets);
    const width = seen.to / buckets;
    columns.forEach((cells, i) =>
      expect(plain(drawn.times, drawn.columns[i] ?? [], width)).toEqual(plain(times, cells, width)),
    );
    expect(drawn.times).toEqual(drawn.times.toSorted((a, b) => a - b));
    expect(drawn.times.length).toBeLessThanOrEqual(3 * (buckets + 2));
    for (const column of drawn.columns) expect(column).toHaveLength(drawn.times.length);
  });
});

it('leaves what is sparse as it is, breaks a line off where a probe had no value, and no other', () => {
  const times = [0, 10, 20, 30];
  const columns = [
    [1, null, undefined, 4],
    [5, 6, 7, 8],
  ];
  expect(thinDrawing({ times, columns }, { from: 0, to: 30 }, 30)).toEqual({ times, columns });
  const thinned = thinDrawing({ times, columns }, { from: 0, to: 30 }, 1);
  expect(thinned.columns[0]?.includes(null)).toBe(true);
  expect(thinned.columns[1]?.includes(null)).toBe(false);
});

it('draws what is looked at, and a bucket on either side for the lines to leave by', () => {
  const times = Array.from({ length: 1000 }, (_, t) => t);
  const drawn = thinDrawing({ times, columns: [times] }, { from: 400, to: 500 }, 50);
  expect([drawn.times[0], drawn.times.at(-1)]).toEqual([398, 501]);
});
