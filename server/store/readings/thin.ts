type Point = { t: number; celsius: number | null };

/**
 * Min-max thinning of one channel: buckets of equal length in time, of each the lowest and highest row kept, and the
 * first and last of all, so that no peak is lost. Rows without a value that begin a gap stay, so that a gap stays one.
 * At most points + 2 rows with values.
 */
export class Thinning<P extends Point> {
  private readonly points: number;
  private readonly bucketOf: (t: number) => number;
  /** All rows, as long as they are few enough to stay. */
  private few: P[] | null = [];
  /** What stays, by its place. */
  private readonly picked = new Map<number, P>();
  private count = 0;
  private bucket = Number.NaN;
  private low = -1;
  private high = -1;
  private lowest: P | null = null;
  private highest: P | null = null;
  private last: P | null = null;

  /** @param bucketOf the bucket that a time, s, is in */
  constructor(points: number, bucketOf: (t: number) => number) {
    this.points = Math.max(2, points);
    this.bucketOf = bucketOf;
  }

  /** @param row the next in time order */
  take(row: P): void {
    const i = this.count++;
    if (this.few && i < this.points) this.few.push(row);
    else this.few = null;
    const here = this.bucketOf(row.t);
    if (here !== this.bucket) this.close();
    this.bucket = here;
    if (i === 0 || (row.celsius === null && this.last?.celsius !== null)) this.picked.set(i, row);
    this.last = row;
    if (row.celsius === null) return;
    if (this.lowest === null || row.celsius < (this.lowest.celsius ?? 0)) [this.low, this.lowest] = [i, row];
    if (this.highest === null || row.celsius > (this.highest.celsius ?? 0))
      [this.high, this.highest] = [i, row];
  }

  private close(): void {
    if (this.lowest) this.picked.set(this.low, this.lowest);
    if (this.highest) this.picked.set(this.high, this.highest);
    this.lowest = this.highest = null;
  }

  rows(): P[] {
    if (this.few) return this.few;
    this.close();
    if (this.last) this.picked.set(this.count - 1, this.last);
    return [...this.picked].sort(([a], [b]) => a - b).map(([, row]) => row);
  }
}

/** Buckets that share the time from `first` to `last`, s: half as many as points. */
export function sharing(first: number, last: number, points: number): (t: number) => number {
  const buckets = Math.max(1, Math.floor(points / 2));
  const span = Math.max(1e-9, last - first);
  return (t) => Math.min(buckets - 1, Math.floor(((t - first) / span) * buckets));
}
