import type { AlertKind } from '../kind.ts';

/** The lid has been open for `openFor` s; the dome now and before it, °C. */
export const lidLeftOpen: AlertKind<'lid-left-open', { openFor: number; dome?: number; before: number }> = {
  name: 'lid-left-open',
  urgency: 'act',
  answeredBy: ['lid-closed'],
  shutsLid: true,
  look: {
    tone: 'act',
    symbol: 'lid',
    wantsHands: true,
    isHeadline: true,
  },
  headline: () => ({ head: 'Close the lid', rest: 'the heat is getting out' }),
};
