import type { HeadlineSymbol, HeadlineWords, Tone } from '../../../shared/alert/headline-parts.ts';
import type { LiveChannel, Now } from '../../../shared/api/live.ts';
import type { Unit } from '../../../shared/units.ts';
import { formatDegrees } from '../../lib/format.ts';

/** What a sentence is made of. */

/** `first` is what must be done before it, where it leads to a lid that is dangerous to open; texts are empty where none. */
export type Sentence = Required<HeadlineWords> & { first: string; tone: Tone; symbol: HeadlineSymbol };

/** `t`: seconds of the cook. */
export type View = { now: Now; unit: Unit; t: number; stone: LiveChannel | null };

export const viewOf = (now: Now, unit: Unit, t: number): View => ({
  now,
  unit,
  t,
  stone: channelOf(now, 'stone'),
});

export const channelOf = (now: Pick<Now, 'channels'>, role: 'stone' | 'dome'): LiveChannel | null =>
  now.channels.find((c) => c.role === role) ?? null;

/** The temperature that counts now: measured, or where nobody measures it, estimated. */
export const celsiusOf = ({ isEstimate, estimate, celsius }: LiveChannel): number | null =>
  isEstimate ? estimate : celsius;

/** The same in words; an estimate says that it is one. */
export function degreesOf(channel: LiveChannel | null, unit: Unit): string {
  const degrees = formatDegrees(channel && celsiusOf(channel), unit);
  return channel?.isEstimate ? `≈ ${degrees}` : degrees;
}

/** `meaning` is the symbol and the head where nothing else tells two sentences apart. */
export const headlineOf = (tone: Tone, symbol: HeadlineSymbol, words: HeadlineWords): Sentence => ({
  count: '',
  rest: '',
  first: '',
  tone,
  symbol,
  meaning: `${symbol} ${words.head}`,
  ...words,
});

/** These lead to the lid: a launch, a turn, a pizza off, a fire that wants charcoal, a look at stone or grill. */
const LEADS_TO_LID: readonly HeadlineSymbol[] = ['go', 'turn', 'off', 'open', 'doubt', 'lost'];

/** Puts what goes before the lid into a sentence that leads to it. */
export function withLidFirst(now: Now | null, sentence: Sentence): Sentence {
  const lid = now?.lidHazard;
  if (!lid || !LEADS_TO_LID.includes(sentence.symbol)) return sentence;
  return { ...sentence, first: lid.text, meaning: `${sentence.meaning}, vents first` };
}

export const spoken = ({ head, count, rest, first }: Sentence): string =>
  [[head, count, rest].filter(Boolean).join(', '), first].filter(Boolean).join('. ');
