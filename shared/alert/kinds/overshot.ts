import { isCooling, overBy } from '../headline-parts.ts';
import type { AlertKind } from '../kind.ts';

/** The stone is above its band, whose upper end is `high`, by `over`, °C. */
export const overshot: AlertKind<'overshot', { stone: number; over: number; high: number }> = {
  name: 'overshot',
  urgency: 'act',
  answeredBy: ['vent'],
  vents: 'close',
  isForBaking: true,
  look: {
    tone: 'act',
    symbol: 'close',
    isHeadline: true,
    restsOnStone: true,
  },
  isSettled: isCooling,
  headline: (moment) => {
    const by = overBy(moment);
    return {
      head: 'Close the vents',
      count: by === null || by < 0.5 ? '' : `${moment.write.difference(by)} over`,
      rest: 'the stone is above its band',
      meaning: 'over',
    };
  },
};
