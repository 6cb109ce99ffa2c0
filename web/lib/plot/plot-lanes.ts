import { pizzaMark } from './paint-pizza.ts';
import { scaledFont, type Pen } from './pen.ts';
import type { Lane, LaneItem, Scene } from './plot-scene.ts';

/** Draws the lanes under a plot's axis: what happened, each kind in a row of its own, named at the left. */

/** Height of a lane, CSS pixels: a finger finds it. */
export const LANE_HEIGHT_PX = 30;
const LANE_GAP_PX = 3;
/** A shape's half, CSS pixels. */
const GLYPH_RADIUS_PX = 7;

/** @param axis CSS pixels between the plot and the first lane */
export function paintLanes(pen: Pen, scene: Scene, axis: number): void {
  scene.lanes?.forEach((lane, row) => {
    const top = pen.top + pen.height + (axis + row * LANE_HEIGHT_PX) * pen.px;
    ground(pen, top);
    name(pen, lane.label, top);
    const { context, left, width, px } = pen;
    context.save();
    context.beginPath();
    context.rect(left, top, width, LANE_HEIGHT_PX * px);
    context.clip();
    for (const item of lane.items)
      if (item.to >= scene.from && item.from <= scene.to) PAINT[lane.kind](pen, item, top + LANE_GAP_PX * px);
    context.restore();
  });
}

function ground({ context, palette, left, width, px }: Pen, top: number): void {
  context.strokeStyle = palette.faint;
  context.globalAlpha = 0.5;
  context.lineWidth = px;
  context.beginPath();
  context.moveTo(left, top + 0.5 * px);
  context.lineTo(left + width, top + 0.5 * px);
  context.stroke();
  context.globalAlpha = 1;
}

function name({ context, palette, left, px }: Pen, label: string, top: number): void {
  context.font = scaledFont(px * 0.9);
  context.fillStyle = palette.mark;
  context.textBaseline = 'middle';
  context.textAlign = 'right';
  context.fillText(label, left - 6 * px, top + (LANE_HEIGHT_PX / 2) * px);
}

type Paint = (pen: Pen, item: LaneItem, top: number) => void;
const height = ({ px }: Pen): number => (LANE_HEIGHT_PX - 2 * LANE_GAP_PX) * px;

/** The text of an item, or its short one, where there is room for it. */
function words({ context, px, left: edge }: Pen, item: LaneItem, colour: string, at: Box): void {
  // Of an item that began before what is seen, the text begins where it is seen.
  const left = Math.max(at.left, edge) + 5 * px;
  const room = at.left + at.width - left - 3 * px;
  context.font = scaledFont(px * 0.9);
  const text = [item.label, item.short ?? ''].find((text) => context.measureText(text).width <= room);
  if (!text) return;
  context.fillStyle = colour;
  context.textBaseline = 'middle';
  context.textAlign = 'left';
  context.fillText(text, left, at.top + at.height / 2);
}

type Box = { left: number; top: number; width: number; height: number };
const boxOf = (pen: Pen, { from, to }: LaneItem, top: number): Box => {
  const left = pen.x(from);
  return { left, top, width: Math.max(4 * pen.px, pen.x(to) - left), height: height(pen) };
};

/** A pizza as on the line of time: its mark, as brown as it came out, at the left of a pill; alone where there is no room. */
const bar: Paint = (pen, item, top) => {
  const { context, palette, px } = pen;
  const box = boxOf(pen, item, top);
  const radius = box.height / 2;
  const width = Math.max(box.height, box.width);
  context.beginPath();
  context.roundRect(box.left, box.top, width, box.height, radius);
  context.lineWidth = 1.5 * px;
  context.strokeStyle = palette.faint;
  context.fillStyle = palette.ground;
  context.fill();
  context.stroke();
  pizzaMark(context, palette, box.left + radius, box.top + radius, item.brown ?? 0, px);
  words(pen, item, palette.ink, {
    ...box,
    left: box.left + 2 * radius - 2 * px,
    width: box.width - 2 * radius,
  });
};

/** An outline around what is not known, with its words. */
function unknown(pen: Pen, box: Box): void {
  const { context, palette, px } = pen;
  context.strokeStyle = palette.faint;
  context.setLineDash([3 * px, 3 * px]);
  context.strokeRect(box.left, box.top, box.width, box.height);
  context.setLineDash([]);
}

const span: Paint = (pen, item, top) => {
  const box = boxOf(pen, item, top);
  if (item.isUnknown) {
    unknown(pen, box);
    return words(pen, item, pen.palette.mark, box);
  }
  pen.context.fillStyle = pen.palette.mark;
  pen.context.fillRect(box.left, box.top, box.width, box.height);
};

/** As high as the vents are open; an outline where it is not known how far. */
const step: Paint = (pen, item, top) => {
  const { context, palette, px } = pen;
  const box = boxOf(pen, item, top);
  const share = item.share ?? 1;
  const filled = Math.max(2 * px, share * box.height);
  context.fillStyle = palette.faint;
  context.strokeStyle = palette.faint;
  context.globalAlpha = 0.75;
  if (item.share === undefined) unknown(pen, box);
  else context.fillRect(box.left, box.top + box.height - filled, box.width, filled);
  context.globalAlpha = 1;
  words(pen, item, palette.ink, box);
};

const dot: Paint = (pen, item, top) => {
  const { context, palette, px } = pen;
  context.fillStyle = palette.mark;
  context.beginPath();
  context.arc(pen.x(item.from), top + height(pen) / 2, GLYPH_RADIUS_PX * px, 0, 2 * Math.PI);
  context.fill();
};

const flag: Paint = (pen, item, top) => {
  const { context, palette, px } = pen;
  const [x, y, r] = [pen.x(item.from), top + height(pen) / 2, GLYPH_RADIUS_PX * px];
  context.fillStyle = palette.mark;
  context.beginPath();
  context.moveTo(x - r, y - r);
  context.lineTo(x + r, y - r);
  context.lineTo(x, y + r);
  context.closePath();
  context.fill();
};

const PAINT: Record<Lane['kind'], Paint> = { bars: bar, spans: span, steps: step, dots: dot, flags: flag };

/** How far beside an item a finger may be, CSS pixels. */
const TAP_RADIUS_PX = 24;
type Placed = { left: number; width: number; lanes: number };

/** The item of the lanes at a place of the element, CSS pixels from its left and top; null where there is none. */
export function laneItemAt(
  lanes: readonly Lane[],
  { from, to }: { from: number; to: number },
  area: Placed | null,
  x: number,
  y: number,
): LaneItem | null {
  const lane = area && lanes[Math.floor((y - area.lanes) / LANE_HEIGHT_PX)];
  if (!lane) return null;
  const perPixel = (to - from) / Math.max(1, area.width);
  const t = from + (x - area.left) * perPixel;
  const away = (item: LaneItem): number => Math.max(0, item.from - t, t - item.to) / perPixel;
  const [nearest] = lane.items.filter(({ isUnknown }) => !isUnknown).sort((a, b) => away(a) - away(b));
  return nearest && away(nearest) <= TAP_RADIUS_PX ? nearest : null;
}
