import { inSentence, type AlertKind } from '../kind.ts';

/** A channel has been silent for `silent` s, of which `patience` s would have been usual. */
export const probeLost: AlertKind<'probe-lost', { channel: string; silent: number; patience: number }> = {
  name: 'probe-lost',
  urgency: 'urgent',
  answeredBy: [],
  look: { tone: 'urgent', symbol: 'doubt' },
  headline: (_moment, { message }) => ({ head: 'Check the probe', rest: inSentence(message) }),
};
