/** What things are drawn with on a plot's canvas. */

export type Palette = Record<
  | 'stone'
  | 'over'
  | 'near'
  | 'cold'
  | 'dome'
  | 'other'
  | 'band'
  | 'ink'
  | 'faint'
  | 'future'
  | 'dough'
  | 'crust'
  | 'ground'
  | 'mark',
  string
>;

/** Canvas pixels: `x` and `y` place a time and a value, `px` scales a CSS pixel. */
export type Pen = {
  context: CanvasRenderingContext2D;
  x(t: number): number;
  y(value: number): number;
  left: number;
  top: number;
  width: number;
  height: number;
  px: number;
  palette: Palette;
};

export const FONT = '500 15px Figtree, system-ui, sans-serif';

export function scaledFont(px: number): string {
  return `500 ${15 * px}px Figtree, system-ui, sans-serif`;
}

/** The two edges of a band across the plot. @param dashes CSS pixels; none: solid */
export function drawEdges(
  { context, y, left, width, px }: Pen,
  band: readonly [number, number],
  colour: string,
  dashes: readonly number[],
): void {
  context.strokeStyle = colour;
  context.lineWidth = 1.5 * px;
  context.setLineDash(dashes.map((length) => length * px));
  for (const edge of band) {
    context.beginPath();
    context.moveTo(left, y(edge));
    context.lineTo(left + width, y(edge));
    context.stroke();
  }
  context.setLineDash([]);
}
