/**
 * A dome that is only read off its dial now and then: straight lines between what was read; after the last, on as it
 * went, dying out. Times s, temperatures °C.
 */
type DialReading = { t: number; celsius: number };

/** How long what the dome did between the last two looks goes on, s, and the most of it that is believed, °C/s. */
const TREND_LASTS_SECONDS = 240;
const MAX_RATE_PER_SECOND = 0.15;

/** @param readings in order of time, at least one */
export function dialAt(readings: readonly DialReading[], t: number): number {
  const last = readings.at(-1);
  if (!last) return 0;
  if (t >= last.t) return onFrom(readings, last, t);
  const i = readings.findIndex((reading) => reading.t > t);
  const [before, after] = [readings[i - 1] ?? readings[i] ?? last, readings[i] ?? last];
  const share = after.t > before.t ? (t - before.t) / (after.t - before.t) : 1;
  return before.celsius + Math.max(0, share) * (after.celsius - before.celsius);
}

function onFrom(readings: readonly DialReading[], last: DialReading, t: number): number {
  const before = readings.at(-2);
  if (!before || last.t <= before.t) return last.celsius;
  const slope = (last.celsius - before.celsius) / (last.t - before.t);
  const believed = Math.max(-MAX_RATE_PER_SECOND, Math.min(MAX_RATE_PER_SECOND, slope));
  return last.celsius + believed * TREND_LASTS_SECONDS * (1 - Math.exp((last.t - t) / TREND_LASTS_SECONDS));
}
