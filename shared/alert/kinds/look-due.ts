import type { AlertKind } from '../kind.ts';

/** A look at the stone would decide something: what it is thought to be, with one standard error, and its band, °C. */
type Parameters = {
  stone?: number;
  error?: number;
  low?: number;
  high?: number;
  /** Where nobody knows the stone: the dome over it, °C. */
  dome?: number;
  /** The last look, and by how much it was off what was expected, °C. */
  read?: number;
  off?: number;
  side?: 'below' | 'above';
  overInMinutes?: number;
  readyInMinutes?: number;
  /** Where it was asked for in vain: how long nobody has looked. */
  unseenMinutes?: number;
};

export const lookDue: AlertKind<'look-due', Parameters> = {
  name: 'look-due',
  urgency: 'prompt',
  answeredBy: [],
  isForBaking: true,
  look: { tone: 'act', symbol: 'doubt', asksForReading: true },
  headline: (
    { t, stone, stoneDegrees, write },
    { why: { read, off, side = 'above', dome, overInMinutes, readyInMinutes }, raisedAt },
  ) => {
    const age = stone?.age ?? null;
    if (read !== undefined && off !== undefined)
      return {
        head: 'Look again',
        rest: `${write.degrees(read)} is ${write.difference(off)} ${side} what it should be: mistyped, or flour, oil or the peel?`,
      };
    const left = (minutes: number | undefined): number =>
      minutes === undefined ? 0 : 60 * minutes - (t - raisedAt);
    const rest =
      left(overInMinutes) > 0
        ? `it may pass the band in about ${write.span(left(overInMinutes))}`
        : left(readyInMinutes) > 0
          ? `ready in about ${write.span(left(readyInMinutes))}`
          : dome !== undefined
            ? `the dome is at ${write.degrees(dome)}`
            : stoneDegrees + (age === null ? '' : `, looked at ${write.age(age)} ago`);
    return { head: 'Look at the stone', rest };
  },
};
