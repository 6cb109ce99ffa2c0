import type { AlertKind } from '../kind.ts';

/** The stone is below `low`, or will be in `inMinutes`, and the fire is why; °C. */
type Parameters = { stone: number; low: number; inMinutes: number; dome?: number };

export const fireFading: AlertKind<'fire-fading', Parameters> = {
  name: 'fire-fading',
  urgency: 'act',
  answeredBy: ['vent', 'fuel'],
  vents: 'open',
  isForBaking: true,
  look: {
    tone: 'act',
    symbol: 'open',
    isHeadline: true,
    restsOnStone: true,
  },
  headline: ({ t, forecast, write }) => ({
    head: 'Open the vents',
    rest:
      forecast?.fadesAt && forecast.fadesAt > t
        ? `the fire fades: below the band in ${write.span(forecast.fadesAt - t)}`
        : 'the fire is fading',
    meaning: 'fire fading',
  }),
};
