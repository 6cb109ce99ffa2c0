import { scaledFont, type Palette, type Pen } from './pen.ts';
import type { Bar } from './plot-scene.ts';

/** Height of the pizzas' lane, CSS pixels. */
const LANE_HEIGHT_PX = 26;

/** Pizzas lie in a lane at the foot, each with its mark, that browns; planned ones are an outline. */
export function pizzaBar(
  { context, palette, x, top, height, px }: Pen,
  { from, to, name, kind, brown }: Bar,
): void {
  const y = top + height - (LANE_HEIGHT_PX + 5) * px;
  const left = x(from);
  const width = Math.max(LANE_HEIGHT_PX * px, x(to) - left);
  context.beginPath();
  context.roundRect(left, y, width, LANE_HEIGHT_PX * px, (LANE_HEIGHT_PX / 2) * px);
  context.lineWidth = (kind === 'baking' ? 2.5 : 1.5) * px;
  context.strokeStyle = kind === 'baking' ? palette.ink : palette.faint;
  context.setLineDash(kind === 'planned' ? [5 * px, 4 * px] : []);
  context.fillStyle = palette.ground;
  context.fill();
  context.stroke();
  context.setLineDash([]);
  context.save();
  context.clip();
  if (brown !== undefined)
    pizzaMark(context, palette, left + (LANE_HEIGHT_PX / 2) * px, y + (LANE_HEIGHT_PX / 2) * px, brown, px);
  context.fillStyle = palette.ink;
  context.font = scaledFont(px);
  context.textBaseline = 'middle';
  context.textAlign = 'left';
  const indent = (brown === undefined ? 8 : LANE_HEIGHT_PX + 2) * px;
  if (width > indent + 12 * px) context.fillText(name, left + indent, y + (LANE_HEIGHT_PX / 2 + 1) * px);
  context.restore();
}

/** Dough with a rim, as brown as it is. */
export function pizzaMark(
  context: CanvasRenderingContext2D,
  { dough, crust }: Palette,
  x: number,
  y: number,
  brown: number,
  px: number,
): void {
  for (const [radius, more] of [
    [10, 0.25],
    [6.5, 0],
  ] as const) {
    const share = Math.round(Math.min(1, brown + more) * 100);
    context.fillStyle = `color-mix(in oklab, ${crust} ${share}%, ${dough})`;
    context.beginPath();
    context.arc(x, y, radius * px, 0, 2 * Math.PI);
    context.fill();
  }
}
