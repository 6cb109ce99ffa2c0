/** Usual ones, the likeliest first, bits a second. */
export const BIT_RATES = [115_200, 9600, 57_600, 38_400, 19_200, 4800, 2400, 1200, 230_400] as const;

/** At a wrong rate most bytes come out as no letters at all. */
const PRINTABLE_SHARE = 0.9;
const MIN_BYTES_TO_JUDGE = 24;
/** A reading is a short line: so much text without an end of line is none. */
const MAX_LINE_BYTES = 512;

type Classification = 'text' | 'garbage' | 'unsure';

/** Whether bytes that came in at some rate are lines of text, by what can be printed in them. */
export function classify(bytes: Uint8Array): Classification {
  const printable = bytes.filter(isPrintable).length;
  const share = bytes.length === 0 ? 1 : printable / bytes.length;
  if (share < PRINTABLE_SHARE) return bytes.length >= MIN_BYTES_TO_JUDGE ? 'garbage' : 'unsure';
  const text = Buffer.from(bytes).toString('latin1');
  // The first piece began somewhere inside a line, the last one is not over yet.
  const whole = text.split(/[\r\n]+/).slice(1, -1);
  if (whole.some((line) => /\d/.test(line))) return 'text';
  return bytes.length > MAX_LINE_BYTES ? 'garbage' : 'unsure';
}

/** Tab, ends of line, and "°" in Latin-1 (B0) and UTF-8 (C2 B0), which stands in many lines of a thermometer. */
const ALSO_PRINTABLE = [0x09, 0x0a, 0x0d, 0xb0, 0xc2];

const isPrintable = (byte: number): boolean => (byte >= 0x20 && byte < 0x7f) || ALSO_PRINTABLE.includes(byte);
