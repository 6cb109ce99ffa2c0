import type { VentPosition } from './vents.ts';

/** How far the vents are open, read from the words of a note. Apart from `vents.ts`, so that the page need not load it. */

const NEARLY = String.raw`(?:nearly|almost|all but|not quite|as good as|practically|next to|barely|hardly|mostly)`;
/** From the narrowest to the widest; the first that matches counts, but for words that say a vent was opened again. */
const WORDS: readonly (readonly [VentPosition, RegExp])[] = [
  ['half', new RegExp(String.raw`\b${NEARLY} half\b`)],
  [
    'nearly-shut',
    new RegExp(String.raw`\b${NEARLY} (?:shut|closed|open)\b|\b(?:a|the) (?:crack|hair|sliver)\b`),
  ],
  ['nearly-shut', /\b(?:half a|thin|hair) slit\b|\bchoked\b/],
  ['shut', /\b(?:shut|closed|closing|close)\b(?! to (?:half|open))/],
  ['low', /\b(?:slit|finger|tenth|eighth|sixth|fifth|quarter|third)\b/],
  ['half', /\bhalf(?:way)?\b/],
  ['open', /\b(?:open|opened|opening|wide|full|fully|two thirds|three quarters)\b/],
];
const OPENED =
  /\b(?:now|again|re|both|fully|wide) ?-?open(?:ed)?\b|\bopened (?:up|again|wide|fully|them|both)\b/;
const WIDE = /\b(?:two[ -]thirds?|three[ -]quarters?)\b/;
const ABOUT_VENTS = /\bvents?\b|\bdampers?\b|\bdraught\b|\bairflow\b|\bair (?:inlet|intake)s?\b/;

/** Share of the full opening where a note says one: "20 %", "1/4". */
function shareOf(text: string): number | null {
  const percent = /(\d+(?:\.\d+)?)\s*(?:%|percent|per cent)/.exec(text);
  if (percent) return Number(percent[1]) / 100;
  const fraction = /\b(\d)\s*\/\s*(\d)\b/.exec(text);
  return fraction && Number(fraction[2]) > 0 ? Number(fraction[1]) / Number(fraction[2]) : null;
}

function positionOfShare(share: number): VentPosition {
  if (share <= 0.02) return 'shut';
  if (share <= 0.1) return 'nearly-shut';
  return share < 0.4 ? 'low' : share < 0.6 ? 'half' : 'open';
}

/** How far the vents are open by a note about them; null where it does not say. */
export function ventPosition(note: string): VentPosition | null {
  const text = note.toLowerCase();
  if (OPENED.test(text) || WIDE.test(text)) return 'open';
  const share = shareOf(text);
  return share === null ? (WORDS.find(([, words]) => words.test(text))?.[0] ?? null) : positionOfShare(share);
}

/** The same of a note about anything: null where it is not about the vents. */
export const ventPositionInNote = (note: string): VentPosition | null =>
  ABOUT_VENTS.test(note.toLowerCase()) ? ventPosition(note) : null;
