import type { VentPosition } from './vents.ts';

/** How far the vents are open, read from the words of a note. Apart from `vents.ts`, so that the page need not load it. */

const NEARLY = String.raw`(?:nearly|almost|all but|not quite|as good as|practically|next to|barely|hardly|mostly)`;
/** From the narrowest to the widest; the first that matches counts, but for words that say shut vents were opened again. */
const WORDS: readonly (readonly [VentPosition, RegExp])[] = [
  ['half', new RegExp(String.raw`\b${NEARLY} half\b`)],
  [
    'nearly-shut',
    new RegExp(String.raw`\b${NEARLY} (?:shut|closed|open)\b|\b(?:a|the) (?:crack|hair|sliver)\b`),
  ],
  ['nearly-shut', /\b(?:half a|thin|hair) slit\b|\bchoked\b/],
  ['shut', /(?<!\bhalf[- ])\b(?:shut|closed|closing|close)\b(?! to (?:half|open))/],
  ['low', /\b(?:slit|finger|tenth|eighth|sixth|fifth|quarter|third)\b/],
  ['half', /\bhalf(?:way)?\b/],
  ['open', /\b(?:open|opened|opening|reopened|wide|full|fully)\b/],
];
/** Of what is the case now: what stood before it is past. */
const LATELY = /^.*\b(?:now|then)\b(?=.*\b(?:shut|open|clos|slit|half|third|quarter|crack|finger|\d))/s;
const NOT_OPEN = /\b(?:not|no longer|never) open\b/;
/** Said of vents that were shut; with one vent named apart, the narrower counts. */
const OPENED = /\b(?:again|re|both) ?-?open(?:ed)?\b|\bopened (?:up|again|wide|fully|them|both)\b/;
const ONE_OF_TWO = /\b(?:top|bottom|upper|lower|one|other)\b/;
const WIDE = /\b(?:two[ -]thirds?|three[ -]quarters?)\b/g;
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
  const text = note.toLowerCase().replace(LATELY, '').replace(WIDE, 'wide');
  if (NOT_OPEN.test(text)) return 'shut';
  const share = shareOf(text);
  if (share !== null) return positionOfShare(share);
  const position = WORDS.find(([, words]) => words.test(text))?.[0] ?? null;
  return position === 'shut' && OPENED.test(text) && !ONE_OF_TWO.test(text) ? 'open' : position;
}

/** The same of a note about anything: null where it is not about the vents. */
export const ventPositionInNote = (note: string): VentPosition | null =>
  ABOUT_VENTS.test(note.toLowerCase()) ? ventPosition(note) : null;
