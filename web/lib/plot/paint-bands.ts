import { DASH_PATTERNS } from './dashes.ts';
import { write } from './plot-paint.ts';
import { drawEdges, scaledFont, type Pen } from './pen.ts';

/** The bands of further cooks on one plot: two edges in the cook's own dashes, named at the left beside each other. */

/** `place` is that of the first cook that is after it; values in the person's unit. */
export type NamedBand = { name: string; band: readonly [number, number]; place: number };

/** Room for a name with its degrees, and without where there is not so much, CSS pixels. */
const LABEL_ROOM_PX = { whole: 170, short: 70, first: 150 } as const;

export function paintBands(pen: Pen, bands: readonly NamedBand[]): void {
  const { context, palette, y, left, top, width, height, px } = pen;
  const isNarrow = width < LABEL_ROOM_PX.whole * (bands.length + 1) * px;
  bands.forEach(({ name, band: [low, high], place }, i) => {
    drawEdges(pen, [low, high], palette.other, DASH_PATTERNS[place] ?? []);
    context.font = scaledFont(px);
    context.textAlign = 'left';
    context.textBaseline = 'top';
    const at = Math.min(top + height - 20 * px, Math.max(top, y(high)) + 3 * px);
    const words = isNarrow ? name : `${name} ${Math.round(low)}–${Math.round(high)}°`;
    const shift = isNarrow ? LABEL_ROOM_PX.first + LABEL_ROOM_PX.short * i : LABEL_ROOM_PX.whole * (i + 1);
    write(pen, words, left + (6 + shift) * px, at, palette.mark);
  });
}
