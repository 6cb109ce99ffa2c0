/**
 * Seeded random numbers, so that the same seed makes the same cook. Generator: sfc32 (C. Doty-Humphrey, PractRand),
 * seeded through splitmix32; both are public domain and recalled, not looked up. Nothing here is fit for cryptography.
 */
export type Random = {
  /** 0 ≤ x < 1. */
  next(): number;
  /** low ≤ x < high. */
  between(low: number, high: number): number;
  /** Standard normal deviate, by the Box–Muller transform. */
  normal(): number;
  chance(probability: number): boolean;
  pick<T>(from: readonly [T, ...T[]]): T;
  /** An independent stream for one purpose, so that a draw more here changes nothing there. */
  fork(purpose: string): Random;
};

function splitmix32(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x9e3779b9) | 0;
    let mixed = state ^ (state >>> 16);
    mixed = Math.imul(mixed, 0x21f0aaad);
    mixed ^= mixed >>> 15;
    mixed = Math.imul(mixed, 0x735a2d97);
    return (mixed ^ (mixed >>> 15)) >>> 0;
  };
}

function sfc32(seed: number): () => number {
  const fill = splitmix32(seed);
  let [a, b, c, counter] = [fill(), fill(), fill(), 1];
  return () => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 4294967296;
  };
}

/** FNV-1a over UTF-16 code units, 32 bit. */
function hash(text: string): number {
  let value = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) value = Math.imul(value ^ text.charCodeAt(i), 0x01000193);
  return value;
}

export function createRandom(seed: number): Random {
  const next = sfc32(seed);
  const random: Random = {
    next,
    between: (low, high) => low + (high - low) * next(),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (probability) => next() < probability,
    pick: (from) => from[Math.floor(next() * from.length)] ?? from[0],
    fork: (purpose) => createRandom((seed ^ hash(purpose)) | 0),
  };
  return random;
}
