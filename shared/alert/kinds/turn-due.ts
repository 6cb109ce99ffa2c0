import type { AlertKind } from '../kind.ts';

/** A pizza is to be turned: `onFor` s on the stone, the same as text. */
export const turnDue: AlertKind<'turn-due', { onFor: number; onForText: string }> = {
  name: 'turn-due',
  urgency: 'act',
  answeredBy: [],
  look: {
    tone: 'act',
    symbol: 'turn',
    wantsHands: true,
    isHeadline: true,
  },
  headline: ({ t, write }, { pizza: { name, turnIn }, raisedAt }) => ({
    head: `Turn ${name}`,
    count: write.due(Math.min(0, turnIn ?? raisedAt - t)),
  }),
};
