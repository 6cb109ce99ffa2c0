import type { LiveChannel, Now } from '../../shared/live.ts';
import type { Unit } from '../../shared/units.ts';
import { formatDegrees } from '../lib/format.ts';

/** What a sentence is made of. */

export type Tone = 'calm' | 'go' | 'act' | 'urgent' | 'lost';
export type Symbol = 'wait' | 'go' | 'turn' | 'off' | 'close' | 'open' | 'lid' | 'doubt' | 'lost' | 'rest';

export type Sentence = {
  /** What the number is of; empty where the head is no number. */
  label: string;
  /** The largest words: what is so, or the order where there is one. */
  head: string;
  /** The rest of the sentence. */
  rest: string;
  tone: Tone;
  symbol: Symbol;
  /** Changes when the sentence means something else, not when a number in it moves; speech hangs on it. */
  meaning: string;
};

/** `t`: seconds of the cook. */
export type View = { now: Now; unit: Unit; t: number; stone: LiveChannel | null };

export const viewOf = (now: Now, unit: Unit, t: number): View => ({
  now,
  unit,
  t,
  stone: channelOf(now, 'stone'),
});

export const channelOf = (now: Now, role: 'stone' | 'dome'): LiveChannel | null =>
  now.channels.find((c) => c.role === role) ?? null;

export const say = (tone: Tone, symbol: Symbol, meaning: string, head: string, rest: string): Sentence => ({
  label: '',
  head,
  rest,
  tone,
  symbol,
  meaning,
});

/** The same with the stone's temperature as its head. */
export const sayStone = (
  tone: Tone,
  symbol: Symbol,
  meaning: string,
  { stone, unit }: View,
  rest: string,
): Sentence => ({
  ...say(tone, symbol, meaning, formatDegrees(stone?.celsius ?? null, unit), rest),
  label: 'Stone',
});

export const spoken = ({ label, head, rest }: Sentence): string =>
  `${label} ${head}${rest && ', '}${rest}`.trim();
