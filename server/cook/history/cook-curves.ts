import type { RecordingHeader } from '../../../shared/recording.ts';
import { createBreath } from '../../store/breath.ts';
import type { ReadingQuery, Store } from '../../store/store.ts';

/** Seconds since the cook began, °C. */
export type Point = { t: number; celsius: number };
type Curves = { stone: Point[]; dome: Point[] };

/** Good readings of stone and dome, of each the first channel, in time order; others have their turn meanwhile. */
export async function curvesOf(
  store: Store,
  { id, header }: { id: number; header: RecordingHeader },
  range: Omit<ReadingQuery, 'channel'> = {},
): Promise<Curves> {
  const breathe = createBreath();
  const curves: Curves = { stone: [], dome: [] };
  for (const role of ['stone', 'dome'] as const) {
    const channel = header.channels.find((each) => each.role === role)?.id;
    if (channel === undefined) continue;
    for (const { t, celsius, quality } of store.eachReading(id, { ...range, channel })) {
      if (celsius !== null && quality === 'good') curves[role].push({ t, celsius });
      const breath = breathe();
      if (breath) await breath;
    }
  }
  return curves;
}

/** The part of a curve from `from` to `to`, both within it. */
export const between = (curve: readonly Point[], from: number, to: number): Point[] =>
  curve.slice(
    firstFrom(curve, (t) => t >= from),
    firstFrom(curve, (t) => t > to),
  );

/** The place of the first point that is late enough, by halving. */
function firstFrom(curve: readonly Point[], isLate: (t: number) => boolean): number {
  let [low, high] = [0, curve.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isLate(curve[middle]?.t ?? Infinity)) high = middle;
    else low = middle + 1;
  }
  return low;
}
