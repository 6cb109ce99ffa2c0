/** Which direction a temperature takes. Pure. */

export type Trend = 'falling fast' | 'falling' | 'steady' | 'rising' | 'rising fast';

const TRENDS: readonly Trend[] = ['falling fast', 'falling', 'steady', 'rising', 'rising fast'];
/** Between one trend and the next, °C/min. */
const TREND_LIMITS_PER_MINUTE = [-4, -0.5, 0.5, 4] as const;
/** A limit counts as passed so far beyond it, as a share of it: a rate that wavers about it changes no word. */
const HYSTERESIS_SHARE = 0.5;

/**
 * The trend at this rate, by thresholds with hysteresis: "rising" begins at 0.75 °C/min and ends at 0.25.
 * @param perMinute °C/min
 * @param before what it was, null where nothing was said yet
 */
export function trendOf(perMinute: number, before: Trend | null): Trend {
  const at = before === null ? null : TRENDS.indexOf(before);
  const passed = TREND_LIMITS_PER_MINUTE.filter((limit, i) => {
    const slack = Math.abs(limit) * HYSTERESIS_SHARE;
    return perMinute > limit + (at === null ? 0 : i < at ? -slack : slack);
  });
  return TRENDS[passed.length] ?? 'steady';
}
