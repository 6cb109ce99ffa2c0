import type { Now } from '../../../shared/api/live.ts';
import { isRunOver, onStone } from './pizza-countdowns.ts';
import type { Sentence } from './headline-sentence.ts';

/** Which keys lie in the action bar: what the headline asks for first. Pure. */

export const KEYS = [
  'launch',
  'turn',
  'off',
  'vents',
  'spot',
  'fuel',
  'lid',
  'note',
  'fire-lit',
  'recent',
  'end',
] as const;
export type KeyName = (typeof KEYS)[number];

const ASKED: Record<Sentence['symbol'], KeyName | null> = {
  light: 'fire-lit',
  wait: null,
  rest: null,
  go: 'launch',
  turn: 'turn',
  off: 'off',
  close: 'vents',
  open: 'vents',
  lid: 'lid',
  doubt: 'spot',
  lost: null,
};

/** The tap that makes most sense where the headline asks for none. */
function sensible(now: Now, t: number): KeyName {
  const first = onStone(now, t)[0];
  if (first) return first.turnIn === null ? 'off' : 'turn';
  return isRunOver(now) ? 'end' : 'launch';
}

/** What is likely besides, by what lies on the stone. */
const LIKELY_KEYS: Record<'baking' | 'empty', readonly KeyName[]> = {
  baking: ['off', 'turn', 'vents', 'launch'],
  empty: ['launch', 'vents', 'spot'],
};

/** `isDue`: the first key is what is to be done now, not only what will be. */
export type Keys = { first: KeyName; isDue: boolean; others: KeyName[]; rest: KeyName[] };

/** Named by the headline ahead of time, with what is left until then: while it is calm they are still to come. */
const COUNTED_DOWN: readonly KeyName[] = ['turn', 'off'];

type Asks = Pick<Sentence, 'symbol' | 'tone'>;

/** The key to tap now, two others that can be, and those behind the last. @param t seconds of the cook */
export function actionKeys(now: Now, t: number, { symbol, tone }: Asks): Keys {
  const lying = onStone(now, t);
  const can = (key: KeyName): boolean =>
    key === 'turn' ? lying.some(({ turnIn }) => turnIn !== null) : key !== 'off' || lying.length > 0;
  const asked = ASKED[symbol];
  const first = asked && can(asked) ? asked : sensible(now, t);
  const likely = LIKELY_KEYS[lying.length > 0 ? 'baking' : 'empty'];
  const others = likely.filter((key) => key !== first && can(key)).slice(0, 2);
  const rest = KEYS.filter((key) => key !== first && !others.includes(key));
  const isDue =
    first === 'end' ? now.isOver : first === asked && !(tone === 'calm' && COUNTED_DOWN.includes(first));
  return { first, isDue, others, rest };
}
