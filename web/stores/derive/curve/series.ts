import type { Quality } from '../../../../shared/words.ts';
import type { Cell } from '../../../lib/plot/plot-scene.ts';

/**
 * Readings as aligned, ascending columns, for drawing: one row a time, a column a channel. A cell is a number, `null`
 * where the channel had a gap, `undefined` where it only did not speak at that time.
 * History and live readings meet here, whatever their order, once each; the oldest are thinned when there are too many.
 */
export type Point = { channel: string; t: number; celsius: number | null; quality: Quality };
export type Series = {
  times: number[];
  /** Trustworthy values by channel. */
  good: Record<string, Cell[]>;
  /** Doubtful ones, drawn apart. */
  doubtful: Record<string, Cell[]>;
  /** When each channel last had a trustworthy value. */
  last: Record<string, number>;
  /** Silence that is drawn as a gap, s. */
  gapAfter: number;
};

const MAX_ROWS = 6000;
const WHOLE_ROWS = 2000;
const BUCKET_ROWS = 12;

export const emptySeries = (gapAfter = 60): Series => ({
  times: [],
  good: {},
  doubtful: {},
  last: {},
  gapAfter,
});

/** Adds readings in place. @returns the same series, or a new one where they had to be sorted in or thinned */
export function merge(series: Series, points: readonly Point[], most = MAX_ROWS): Series {
  const lastT = series.times.at(-1) ?? -Infinity;
  const inOrder = points.every((p, i) => p.t >= (i === 0 ? lastT : (points[i - 1]?.t ?? lastT)));
  const merged = inOrder ? series : emptySeries(series.gapAfter);
  const all = inOrder ? points : [...pointsOf(series), ...points].sort((a, b) => a.t - b.t);
  for (const point of all) append(merged, point);
  return merged.times.length > most ? thin(merged) : merged;
}

function append(series: Series, { channel, t, celsius, quality }: Point): void {
  const last = series.last[channel];
  const usable = quality === 'good' && celsius !== null;
  if (usable && last !== undefined && t - last > series.gapAfter)
    put(series, 'good', channel, rowAt(series, (last + t) / 2), null);
  const row = rowAt(series, t);
  if (usable) series.last[channel] = t;
  if (quality === 'uncertain' && celsius !== null) put(series, 'doubtful', channel, row, celsius);
  else if (usable || column(series, 'good', channel)[row] === undefined)
    put(series, 'good', channel, row, usable ? celsius : null);
}

const column = (series: Series, kind: 'good' | 'doubtful', channel: string): Cell[] =>
  (series[kind][channel] ??= Array.from({ length: series.times.length }));

function put(series: Series, kind: 'good' | 'doubtful', channel: string, row: number, cell: Cell): void {
  column(series, kind, channel)[row] = cell;
}

/** The row of time `t`, made where there is none. */
function rowAt(series: Series, t: number): number {
  const { times } = series;
  let row = times.length;
  while (row > 0 && (times[row - 1] ?? 0) > t) row--;
  if (row > 0 && times[row - 1] === t) return row - 1;
  const columns = [...Object.values(series.good), ...Object.values(series.doubtful)];
  if (row === times.length) {
    times.push(t);
    for (const cells of columns) cells.push(undefined);
    return row;
  }
  times.splice(row, 0, t);
  for (const cells of columns) cells.splice(row, 0, undefined);
  return row;
}

/** The readings again, in time order; gaps that silence made are made anew by whoever merges them. */
function pointsOf(series: Series): Point[] {
  const points: Point[] = [];
  series.times.forEach((t, row) => {
    for (const [channel, cells] of Object.entries(series.good)) {
      const celsius = cells[row];
      if (celsius !== undefined)
        points.push({ channel, t, celsius, quality: celsius === null ? 'bad' : 'good' });
    }
    for (const [channel, cells] of Object.entries(series.doubtful)) {
      const celsius = cells[row];
      if (celsius !== undefined && celsius !== null)
        points.push({ channel, t, celsius, quality: 'uncertain' });
    }
  });
  return points;
}

/** Of the older rows, in buckets, keeps those where a channel is lowest or highest or begins a gap. */
export function thin(series: Series): Series {
  const whole = Math.max(0, series.times.length - WHOLE_ROWS);
  const keep: number[] = [];
  for (let from = 0; from < whole; from += BUCKET_ROWS)
    keep.push(...extremes(series, from, Math.min(whole, from + BUCKET_ROWS)));
  for (let row = whole; row < series.times.length; row++) keep.push(row);
  const pick = (cells: readonly Cell[]): Cell[] => keep.map((row) => cells[row]);
  return {
    ...series,
    times: keep.map((row) => series.times[row] ?? 0),
    good: Object.fromEntries(Object.entries(series.good).map(([id, cells]) => [id, pick(cells)])),
    doubtful: Object.fromEntries(Object.entries(series.doubtful).map(([id, cells]) => [id, pick(cells)])),
  };
}

function extremes(series: Series, from: number, to: number): number[] {
  const rows = new Set<number>();
  for (const cells of Object.values(series.good)) {
    let low = -1;
    let high = -1;
    for (let row = from; row < to; row++) {
      const value = cells[row];
      if (value === null && cells[row - 1] !== null) rows.add(row);
      if (value == null) continue;
      if (low < 0 || value < (cells[low] ?? 0)) low = row;
      if (high < 0 || value > (cells[high] ?? 0)) high = row;
    }
    if (low >= 0) rows.add(low).add(high);
  }
  return [...rows].sort((a, b) => a - b);
}

/** @returns °C of the drawn row nearest in time, of which there is one every few pixels; null across a gap */
export function drawnAt({ times, good, gapAfter }: Series, channel: string, t: number): number | null {
  const cells = good[channel] ?? [];
  let best: number | null = null;
  let away = gapAfter;
  for (let row = 0; row < times.length; row++) {
    const apart = Math.abs((times[row] ?? 0) - t);
    const cell = cells[row];
    if (cell === undefined || apart >= away) continue;
    away = apart;
    best = cell;
  }
  return best;
}
