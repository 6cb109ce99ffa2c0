import type { AlertKind } from '../kind.ts';

/** A pizza has had its time on the stone: `onFor` s, the same as text. */
export const offDue: AlertKind<'off-due', { onFor: number; onForText: string }> = {
  name: 'off-due',
  urgency: 'urgent',
  answeredBy: [],
  isNeverSilenced: true,
  look: {
    tone: 'urgent',
    symbol: 'off',
    wantsHands: true,
    isHeadline: true,
  },
  headline: ({ t, write }, { pizza: { name, offIn }, raisedAt }) => ({
    head: `Take ${name} off`,
    count: write.due(Math.min(0, offIn ?? raisedAt - t)),
  }),
};
