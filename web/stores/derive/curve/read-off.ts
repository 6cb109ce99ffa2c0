import type { Series } from './series.ts';

/** Further off than this a reading says nothing of a moment, s. */
const NEAR_SECONDS = 90;

/** What a channel read nearest to a moment, °C; null where nothing near is known. Pure. */
export function readOff({ times, good }: Series, channel: string, t: number): number | null {
  const cells = good[channel] ?? [];
  let found: number | null = null;
  let least = NEAR_SECONDS;
  times.forEach((time, row) => {
    const value = cells[row];
    if (value == null || Math.abs(time - t) > least) return;
    least = Math.abs(time - t);
    found = value;
  });
  return found;
}
