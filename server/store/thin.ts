type Point = { channel: string; t: number; celsius: number | null };

/**
 * Min-max thinning, a channel at a time: `points` / 2 buckets of equal length in time, of each the lowest and highest
 * row kept, and the first and last of all, in time order, so that no peak is lost. Rows without a value that begin a
 * gap stay, so that a gap stays one. At most points + 2 rows with values a channel.
 * @param all in time order, channels mixed
 */
export function thinRows<P extends Point>(all: readonly P[], points: number): P[] {
  const byChannel = groupByChannel(all);
  const kept = [...byChannel.values()].flatMap((rows) => thinChannel(rows, points));
  return kept.sort((a, b) => a.t - b.t);
}

function groupByChannel<P extends Point>(all: readonly P[]): Map<string, P[]> {
  const groups = new Map<string, P[]>();
  for (const p of all) {
    const group = groups.get(p.channel);
    if (group) group.push(p);
    else groups.set(p.channel, [p]);
  }
  return groups;
}

function thinChannel<P extends Point>(rows: readonly P[], points: number): P[] {
  if (rows.length <= Math.max(2, points)) return [...rows];
  const buckets = Math.max(1, Math.floor(points / 2));
  const first = rows[0]?.t ?? 0;
  const span = Math.max(1e-9, (rows.at(-1)?.t ?? 0) - first);
  const keep = new Set<number>([0, rows.length - 1]);
  let bucket = -1;
  let low = -1;
  let high = -1;
  const close = (): void => {
    if (low >= 0) keep.add(low).add(high);
    low = high = -1;
  };
  rows.forEach((row, i) => {
    const here = Math.min(buckets - 1, Math.floor(((row.t - first) / span) * buckets));
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
