import { signal } from '@preact/signals';
import type { StoneEstimate, storedReading } from '../../../../shared/api/api.ts';
import type { LiveReading, Now } from '../../../../shared/api/live.ts';
import { call } from '../../../api.ts';
import { emptySeries, merge, type Point, type Series } from './series.ts';

type StoredReading = (typeof storedReading)['_output'];

/** Readings a channel asked of the history; the line is rarely wider in pixels. */
const CURVE_POINTS = 1500;
/** Live silence that is drawn as a gap, s; thinned history has rows up to this far apart. */
const GAP_SECONDS = 90;

/** The curves of the running cook. `version` rises with each change, since the columns are filled in place. */
export const curves = signal<{ series: Series; version: number }>({
  series: emptySeries(GAP_SECONDS),
  version: 0,
});
/** Set when the past of this cook could not be fetched. */
export const pastMissing = signal(false);

/** The stone of the running cook as it was estimated while nobody measured it, in time order. */
export const estimates = signal<readonly StoneEstimate[]>([]);
/** So far apart are those that come live, s. */
const ESTIMATE_EVERY_SECONDS = 15;

let pending: AbortController | null = null;

const set = (series: Series): void => {
  curves.value = { series, version: curves.value.version + 1 };
};

export function addLive(readings: readonly LiveReading[]): void {
  if (readings.length === 0) return;
  const points = readings.map(([channel, t, celsius, quality]): Point => ({ channel, t, celsius, quality }));
  set(merge(curves.value.series, points));
}

/** Takes the estimate of now, where it is one and the last is long enough ago. */
export function addEstimate({ t, channels }: Now): void {
  const { estimate, error } = channels.find((channel) => channel.isEstimate) ?? {};
  if (t === null || estimate == null || error == null) return;
  if (t - (estimates.peek().at(-1)?.[0] ?? -Infinity) < ESTIMATE_EVERY_SECONDS) return;
  estimates.value = [...estimates.peek(), [t, estimate, error]];
}

/** Begins anew with the history of a cook; what comes live meanwhile is merged with it. */
export async function startCurves(cookId: number | null, isEstimated = false): Promise<void> {
  pending?.abort();
  pending = new AbortController();
  set(emptySeries(GAP_SECONDS));
  estimates.value = [];
  pastMissing.value = false;
  if (cookId === null) return;
  try {
    // What comes live meanwhile comes again in a moment.
    if (isEstimated) estimates.value = await fetchEstimates(cookId, pending.signal);
    const past = await fetchReadings(cookId, { points: CURVE_POINTS }, pending.signal);
    // Another series than before, so that it is drawn at once.
    set({ ...merge(curves.value.series, past) });
  } catch {
    pastMissing.value = !pending.signal.aborted;
  }
}

export const fetchEstimates = async (
  cookId: number,
  signal?: AbortSignal,
): Promise<readonly StoneEstimate[]> =>
  (await call<{ estimates: StoneEstimate[] }>('GET', `/api/cooks/${cookId}/estimates`, undefined, signal))
    .estimates;

/** @param range `from` and `to` in ms since the epoch; without `points` every reading as it came in */
export async function fetchReadings(
  cookId: number,
  range: { from?: number; to?: number; points?: number },
  signal?: AbortSignal,
): Promise<Point[]> {
  const query = new URLSearchParams();
  if (range.points !== undefined) query.set('points', String(range.points));
  if (range.from !== undefined) query.set('from', new Date(range.from).toISOString());
  if (range.to !== undefined) query.set('to', new Date(range.to).toISOString());
  const { readings } = await call<{ readings: StoredReading[] }>(
    'GET',
    `/api/cooks/${cookId}/readings?${query}`,
    undefined,
    signal,
  );
  return readings;
}
