/** Distinguished encoding of ASN.1, as far as a certificate needs it: X.690 section 8 and 10. Only written, never read. */

const TAG = {
  boolean: 1,
  integer: 2,
  bits: 3,
  octets: 4,
  oid: 6,
  utf8: 12,
  time: 23,
  longTime: 24,
  sequence: 48,
  set: 49,
};

/** @param tag identifier octet, with class and form */
export function tagged(tag: number, ...parts: readonly Buffer[]): Buffer {
  const body = Buffer.concat(parts);
  return Buffer.concat([Buffer.from([tag]), lengthOf(body.length), body]);
}

/** Short form below 128, else the number of octets and the octets (X.690 8.1.3). */
function lengthOf(n: number): Buffer {
  if (n < 128) return Buffer.from([n]);
  const octets = n < 256 ? [n] : [n >> 8, n & 255];
  return Buffer.from([0x80 | octets.length, ...octets]);
}

export const sequence = (...parts: readonly Buffer[]): Buffer => tagged(TAG.sequence, ...parts);
export const set = (...parts: readonly Buffer[]): Buffer => tagged(TAG.set, ...parts);
export const octets = (bytes: Buffer): Buffer => tagged(TAG.octets, bytes);
export const text = (words: string): Buffer => tagged(TAG.utf8, Buffer.from(words, 'utf8'));
export const yes = (): Buffer => tagged(TAG.boolean, Buffer.from([0xff]));
/** @param unused how many of the last octet's low bits do not count */
export const bits = (bytes: Buffer, unused = 0): Buffer => tagged(TAG.bits, Buffer.from([unused]), bytes);

/** A number that is not negative, from its big-endian octets: the fewest octets, the first bit clear (X.690 8.3). */
export function integer(bytes: Buffer): Buffer {
  const first = bytes.findIndex((octet) => octet !== 0);
  const shortest = first === -1 ? Buffer.from([0]) : bytes.subarray(first);
  return tagged(TAG.integer, (shortest[0] ?? 0) > 127 ? Buffer.from([0]) : Buffer.alloc(0), shortest);
}

/** `2.5.29.15` → base-128 arcs, the first two in one (X.690 8.19). */
export function oid(dotted: string): Buffer {
  const [first = 0, second = 0, ...rest] = dotted.split('.').map(Number);
  return tagged(TAG.oid, Buffer.from([first * 40 + second, ...rest.flatMap(base128)]));
}

function base128(n: number): number[] {
  const low = [n & 127];
  for (let left = n >> 7; left > 0; left >>= 7) low.unshift((left & 127) | 128);
  return low;
}

/** UTCTime up to 2049, GeneralizedTime after, to the second in UTC (RFC 5280 4.1.2.5). @param at ms since the epoch */
export function time(at: number): Buffer {
  const full = `${new Date(at).toISOString().replaceAll(/[-:T]|\.\d+Z/g, '')}Z`;
  return full < '2050'
    ? tagged(TAG.time, Buffer.from(full.slice(2)))
    : tagged(TAG.longTime, Buffer.from(full));
}
