/**
 * What distinguishes several cooks on one plot, beside their letter: the first is drawn as the stone, the others in greys.
 * Strokes and gaps, CSS pixels.
 */
export const DASH_PATTERNS: readonly (readonly number[])[] = [
  [],
  [14, 6],
  [4, 5],
  [16, 5, 3, 5],
  [2, 8],
  [24, 8],
];
