import type { Cell } from '../../../lib/plot/plot-scene.ts';
import type { Range } from './zoom.ts';

/** Aligned columns: a row a time, a column a curve. */
type Columns = { times: readonly number[]; columns: readonly (readonly Cell[] | undefined)[] };
type Drawn = { times: number[]; columns: Cell[][] };

/**
 * As many rows as a plot can show: of each bucket of time every curve's lowest and highest value, in their order, on two
 * rows that all curves share; a third where one of them breaks off. Nothing moves by more than a bucket's width. Pure.
 * @param seen what is looked at, s; one bucket more on either side stays, for the lines to leave by
 * @param buckets how many share it
 */
export function thinDrawing({ times, columns }: Columns, seen: Range, buckets: number): Drawn {
  const width = Math.max(1e-9, (seen.to - seen.from) / Math.max(1, buckets));
  const end = firstAt(times, seen.to + width);
  const drawn: Drawn = { times: [], columns: columns.map(() => []) };
  for (let from = firstAt(times, seen.from - width), to = from; from < end; from = to) {
    const bucket = Math.floor((times[from] ?? 0) / width);
    while (to < end && Math.floor((times[to] ?? 0) / width) === bucket) to++;
    addBucket(drawn, { times, columns }, from, to);
  }
  return drawn;
}

/** What one curve does in a bucket. Rows, −1 for none. */
type Extremes = { low: number; high: number; gap: number };

function addBucket(drawn: Drawn, { times, columns }: Columns, from: number, to: number): void {
  const found = columns.map((cells) => extremes(cells ?? [], from, to));
  const put = (row: number, cellOf: (extremes: Extremes, cells: readonly Cell[]) => Cell): void => {
    drawn.times.push(times[row] ?? 0);
    found.forEach((extremes, i) => drawn.columns[i]?.push(cellOf(extremes, columns[i] ?? [])));
  };
  const last = to - 1;
  if (last > from)
    put(from, ({ low, high }, cells) => (low === high ? undefined : cells[Math.min(low, high)]));
  put(last, ({ low, high, gap }, cells) =>
    low < 0 ? (gap < 0 ? undefined : null) : cells[Math.max(low, high)],
  );
  if (found.some(({ low, gap }) => low >= 0 && gap >= 0))
    put(last, ({ low, gap }) => (low >= 0 && gap >= 0 ? null : undefined));
}

function extremes(cells: readonly Cell[], from: number, to: number): Extremes {
  let [low, high, gap] = [-1, -1, -1];
  for (let row = from; row < to; row++) {
    const value = cells[row];
    if (value === null) gap = row;
    if (value == null) continue;
    if (low < 0 || value < (cells[low] ?? 0)) low = row;
    if (high < 0 || value > (cells[high] ?? 0)) high = row;
  }
  return { low, high, gap };
}

/** The first row at or after `t`. */
function firstAt(times: readonly number[], t: number): number {
  let [low, high] = [0, times.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? 0) < t) low = middle + 1;
    else high = middle;
  }
  return low;
}
