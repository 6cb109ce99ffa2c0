type Point = { t: number; celsius: number | null };

/**
 * Min-max thinning of one channel: buckets of equal length in time, of each the lowest and highest row kept, and the
 * first and last of all, so that no peak is lost. Rows without a value that begin a gap stay, so that a gap stays one.
 * At most points + 2 rows with values.
 * @param rows in time order
 * @param width of a bucket, s, which then begins at a multiple of it; without it, `points` / 2 of them share the time
 */
export function thinChannel<P extends Point>(rows: readonly P[], points: number, width?: number): P[] {
  if (rows.length <= Math.max(2, points)) return [...rows];
  const bucketOf = width === undefined ? sharing(rows, points) : (t: number): number => Math.floor(t / width);
  const keep = new Set<number>([0, rows.length - 1]);
  let bucket = -1;
  let low = -1;
  let high = -1;
  const close = (): void => {
    if (low >= 0) keep.add(low).add(high);
    low = high = -1;
  };
  rows.forEach((row, i) => {
    const here = bucketOf(row.t);
    if (here !== bucket) close();
    bucket = here;
    if (row.celsius === null) {
      if (rows[i - 1]?.celsius !== null) keep.add(i);
      return;
    }
    if (low < 0 || row.celsius < (rows[low]?.celsius ?? 0)) low = i;
    if (high < 0 || row.celsius > (rows[high]?.celsius ?? 0)) high = i;
  });
  close();
  return [...keep]
    .sort((a, b) => a - b)
    .map((i) => rows[i])
    .filter((row) => row !== undefined);
}

function sharing(rows: readonly Point[], points: number): (t: number) => number {
  const buckets = Math.max(1, Math.floor(points / 2));
  const first = rows[0]?.t ?? 0;
  const span = Math.max(1e-9, (rows.at(-1)?.t ?? 0) - first);
  return (t) => Math.min(buckets - 1, Math.floor(((t - first) / span) * buckets));
}
