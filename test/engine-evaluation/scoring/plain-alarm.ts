import type { Band } from '../../../shared/engine.ts';
import type { Line } from './score.ts';

export type StoneReading = { t: number; celsius: number };

/** What it may see of a reading: how fast the last two minutes went, °C/s, once there is a minute of them. */
function createRuler(): (now: StoneReading) => number | null {
  const past: StoneReading[] = [];
  return (now) => {
    past.push(now);
    while ((past[0]?.t ?? now.t) < now.t - 120) past.shift();
    const first = past[0] ?? now;
    return now.t - first.t > 60 ? (now.celsius - first.celsius) / (now.t - first.t) : null;
  };
}

function timeTo(low: number, { t, celsius }: StoneReading, rate: number | null): number | null {
  if (celsius >= low) return t;
  return rate !== null && rate > 0 ? t + (low - celsius) / rate : null;
}

/**
 * What every figure is held against: a threshold alarm on the raw stone readings with a ruler laid along the last two
 * minutes. It says "ready" on entering the band, "overshot" on leaving it upward, "ahead" when the ruler reaches the
 * top within 5 min.
 */
export function plainAlarm(readings: readonly StoneReading[], [low, high]: Band): Line[] {
  const lines: Line[] = [];
  const rate = createRuler();
  let was = { inside: false, above: false, ahead: false };
  let forecastAt = -Infinity;
  const alert = (t: number, name: string): void => void lines.push({ t, type: 'alert', alert: name });
  for (const now of readings) {
    const slope = rate(now);
    const above = now.celsius > high;
    const inside = now.celsius >= low && !above;
    const ahead = slope !== null && !above && now.celsius + slope * 300 > high;
    if (inside && !was.inside) alert(now.t, 'stone-ready');
    if (above && !was.above) alert(now.t, 'overshot');
    if (ahead && !was.ahead) alert(now.t, 'overshoot-ahead');
    was = { inside, above, ahead };
    if (now.t - forecastAt <= 20) continue;
    forecastAt = now.t;
    lines.push({ t: now.t, type: 'forecast', readyAt: timeTo(low, now, slope) });
  }
  return lines;
}
