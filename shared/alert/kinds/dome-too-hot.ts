import type { AlertKind } from '../kind.ts';

/** The dome is hotter than the grill is to bear, °C. */
export const domeTooHot: AlertKind<'dome-too-hot', { dome: number; limit: number }> = {
  name: 'dome-too-hot',
  urgency: 'urgent',
  answeredBy: ['vent'],
  vents: 'close',
  look: {
    tone: 'urgent',
    symbol: 'close',
    wantsHands: true,
    isHeadline: true,
  },
  // The alert stands for some minutes more, lest it comes and goes.
  isSettled: ({ dome }, { limit }) => dome !== null && limit !== undefined && dome < limit,
  headline: ({ dome, write }, { why: { limit = null } }) => ({
    head: 'Close the vents',
    rest:
      dome !== null && limit !== null && dome < limit
        ? `dome ${write.degrees(dome)}, it was over its limit`
        : `dome ${write.degrees(dome)}, over its limit`,
    meaning: 'dome too hot',
  }),
};
