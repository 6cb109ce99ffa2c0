import type { AlertKind } from '../kind.ts';

/** The stone will pass `high` in `inMinutes` and peak at `peak`, `over` above it, °C; and what shutting the vents changes. */
type Parameters = {
  stone: number;
  inMinutes: number;
  over: number;
  peak: number;
  high: number;
  perMinute: number;
  /** The peak with the vents shut now, and where they are shut `later` min from now, °C. */
  shutNow?: number;
  later?: number;
  shutLater?: number;
  /** For so many min shutting them is still enough. */
  until?: number;
};

/** Shutting the vents is worth a word where it takes off so much, °C. */
export const WORTH_SHUTTING_CELSIUS = 3;
/** A pizza that is on the peel is launched within so many minutes. */
const LAUNCH_MINUTES = 3;

export const overshootAhead: AlertKind<'overshoot-ahead', Parameters> = {
  name: 'overshoot-ahead',
  urgency: 'act',
  answeredBy: ['vent'],
  vents: 'close',
  // Vents that were just shut would have to be opened again for the lid; and a pizza cools the stone.
  yieldsTo: { alert: 'stone-ready', hasTime: ({ inMinutes }) => (inMinutes ?? 0) >= LAUNCH_MINUTES },
  isForBaking: true,
  look: {
    tone: 'act',
    symbol: 'close',
    isHeadline: true,
    restsOnStone: true,
  },
  isSettled: ({ forecast }) => forecast?.overAt === null,
  headline: ({ t, top, forecast, shutNow, write }) => {
    const { peak = null, overAt = null } = forecast ?? {};
    const beyond = peak !== null && top !== null && peak > top ? peak - top : null;
    const left = overAt !== null && overAt > t ? write.span(overAt - t) : null;
    const soon =
      left === null ? 'soon over the band' : beyond === null ? `over the band in ${left}` : `in ${left}`;
    const helps = peak !== null && shutNow !== null && shutNow < peak - WORTH_SHUTTING_CELSIUS;
    return {
      head: 'Close the vents',
      count: beyond === null ? '' : `${write.difference(beyond)} over`,
      rest: helps ? `${soon}; shut now it peaks at ${write.degrees(shutNow)}` : soon,
      meaning: 'overshoot ahead',
    };
  },
};
