import type { Pen } from './pen.ts';
import type { Scene } from './plot-scene.ts';

/** The stone's colour by its height: cold to near below the band, bright in it, brightest over it. */
export function heatOf(
  { context, palette, y, px }: Pen,
  { band, high, low }: Scene,
): string | CanvasGradient {
  // A gradient takes no empty colour, and throws.
  if (!band || !palette.stone) return palette.stone;
  const [from, to] = [y(high), y(low)];
  if (!(to - from > px)) return palette.stone;
  const gradient = context.createLinearGradient(0, from, 0, to);
  const near = band[0] - (band[1] - band[0]);
  const stops = [
    [band[1] + 2, palette.over],
    [band[1], palette.stone],
    [band[0], palette.stone],
    [band[0] - 2, palette.near],
    [near, palette.near],
    [near - 2 * (band[1] - band[0]), palette.cold],
  ] as const;
  for (const [value, colour] of stops)
    gradient.addColorStop(Math.min(1, Math.max(0, (y(value) - from) / (to - from))), colour);
  return gradient;
}
