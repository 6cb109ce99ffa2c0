import { inSentence, type AlertKind } from '../kind.ts';

/** So many readings of a channel in a row can't be trusted. */
export const probeDoubtful: AlertKind<'probe-doubtful', { channel: string; doubtful: number }> = {
  name: 'probe-doubtful',
  urgency: 'prompt',
  answeredBy: [],
  look: { tone: 'act', symbol: 'doubt' },
  headline: (_moment, { message }) => ({ head: 'Check the probe', rest: inSentence(message) }),
};
