import { isLikely, OVER_SOON_SECONDS, type Moment } from '../headline-parts.ts';
import type { AlertKind } from '../kind.ts';

/** The stone is in its band and steady; or it is estimated to be, with one standard error, °C. */
type Parameters = { stone: number; low: number; high: number; changeIn2Min?: number; error?: number };

function overSoon(t: number, forecast: Moment['forecast'], write: Moment['write']): string | null {
  const left = (forecast?.overAt ?? Infinity) - t;
  return left > 0 && left <= OVER_SOON_SECONDS
    ? `over the band in ${write.span(left)}: then close the vents`
    : null;
}

export const stoneReady: AlertKind<'stone-ready', Parameters> = {
  name: 'stone-ready',
  urgency: 'prompt',
  answeredBy: ['launch'],
  isForBaking: true,
  look: {
    tone: 'go',
    symbol: 'go',
    fillsScreen: true,
  },
  headline: ({ t, stone, stoneDegrees, next, forecast, write }) => {
    const head = next ? `Launch ${next}` : 'Launch';
    return isLikely(stone)
      ? {
          head: `Look, then l${head.slice(1)}`,
          rest: `likely ready: ${stoneDegrees}`,
          meaning: 'likely ready',
        }
      : { head, count: 'now', rest: overSoon(t, forecast, write) ?? 'the stone is ready', meaning: 'ready' };
  },
};
