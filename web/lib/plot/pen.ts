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
