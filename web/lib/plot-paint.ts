import type { Bar, ForecastCurve, Glyph, Scene, Span } from './scene.ts';

/** Draws on a plot's canvas what is not a curve: band, fan, lid openings, pizzas, marks, the line of now. */

export type Palette = Record<
  'stone' | 'dome' | 'other' | 'band' | 'ink' | 'faint' | 'future' | 'pizza' | 'baking' | 'ground' | 'mark',
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

export const FONT = '600 15px system-ui, sans-serif';
const LANE = 26;

export function scaledFont(px: number): string {
  return `600 ${15 * px}px system-ui, sans-serif`;
}

function clipped(pen: Pen, draw: () => void): void {
  const { context, left, top, width, height } = pen;
  context.save();
  context.beginPath();
  context.rect(left, top, width, height);
  context.clip();
  draw();
  context.restore();
}

/** Under the curves. */
export function paintGround(pen: Pen, scene: Scene): void {
  clipped(pen, () => {
    if (scene.now !== null) future(pen, scene.now);
    if (scene.band) band(pen, scene.band);
    for (const lid of scene.lids) lidOpen(pen, lid);
    for (const curve of scene.forecast) fan(pen, curve);
  });
}

/** Over the curves. */
export function paintMarks(pen: Pen, scene: Scene): void {
  clipped(pen, () => {
    for (const bar of scene.bars) pizzaBar(pen, bar);
    for (const glyph of scene.glyphs) mark(pen, glyph);
    if (scene.now !== null) nowLine(pen, scene.now);
    names(pen, scene);
  });
}

function future(pen: Pen, now: number): void {
  const { context, palette, x, top, left, width, height } = pen;
  context.fillStyle = palette.future;
  context.fillRect(x(now), top, left + width - x(now), height);
}

/** The band as a shaded stripe between two dashed edges. */
function band({ context, palette, y, left, width, px }: Pen, [low, high]: readonly [number, number]): void {
  context.fillStyle = palette.band;
  context.globalAlpha = 0.22;
  context.fillRect(left, y(high), width, y(low) - y(high));
  context.globalAlpha = 1;
  context.strokeStyle = palette.band;
  context.lineWidth = 1.5 * px;
  context.setLineDash([8 * px, 6 * px]);
  for (const edge of [low, high]) {
    context.beginPath();
    context.moveTo(left, y(edge));
    context.lineTo(left + width, y(edge));
    context.stroke();
  }
  context.setLineDash([]);
}

/** Slanted strokes over the time in which the lid was open. */
function lidOpen({ context, palette, x, top, height, px }: Pen, { from, to }: Span): void {
  const start = x(from);
  const end = Math.max(start + 3 * px, x(to));
  context.save();
  context.beginPath();
  context.rect(start, top, end - start, height);
  context.clip();
  context.strokeStyle = palette.faint;
  context.lineWidth = px;
  context.beginPath();
  for (let at = start - height; at < end; at += 9 * px) {
    context.moveTo(at, top + height);
    context.lineTo(at + height, top);
  }
  context.stroke();
  context.restore();
}

/** The 80 % range as a fan, the middle as a dotted line. */
function fan({ context, palette, x, y, px }: Pen, { role, points }: ForecastCurve): void {
  const first = points[0];
  if (!first || points.length < 2) return;
  context.fillStyle = palette[role];
  context.globalAlpha = role === 'stone' ? 0.28 : 0.14;
  context.beginPath();
  context.moveTo(x(first.t), y(first.high));
  for (const p of points) context.lineTo(x(p.t), y(p.high));
  for (const p of [...points].reverse()) context.lineTo(x(p.t), y(p.low));
  context.closePath();
  context.fill();
  context.globalAlpha = 1;
  context.strokeStyle = palette[role];
  context.lineWidth = (role === 'stone' ? 3.5 : 2) * px;
  context.setLineDash([2 * px, 6 * px]);
  context.lineCap = 'round';
  context.beginPath();
  for (const p of points) context.lineTo(x(p.t), y(p.value));
  context.stroke();
  context.setLineDash([]);
}

/** Pizzas lie in a lane at the foot: baked filled, baking in ember, planned as an outline. */
function pizzaBar({ context, palette, x, top, height, px }: Pen, { from, to, name, kind }: Bar): void {
  const y = top + height - (LANE + 5) * px;
  const left = x(from);
  const width = Math.max(4 * px, x(to) - left);
  context.beginPath();
  context.roundRect(left, y, width, LANE * px, 6 * px);
  context.lineWidth = 2 * px;
  if (kind === 'planned') {
    context.setLineDash([5 * px, 4 * px]);
    context.strokeStyle = palette.pizza;
    context.stroke();
    context.setLineDash([]);
  } else {
    context.fillStyle = kind === 'baking' ? palette.baking : palette.pizza;
    context.fill();
  }
  context.save();
  context.clip();
  context.fillStyle = kind === 'planned' ? palette.ink : palette.ground;
  context.font = scaledFont(px);
  context.textBaseline = 'middle';
  context.textAlign = 'left';
  if (width > 26 * px) context.fillText(name, left + 7 * px, y + (LANE / 2 + 1) * px);
  context.restore();
}

/** Marks differ by shape: vents a diamond, fuel a lump, note a square, fire a flame, alert a triangle. */
const SHAPES: Record<
  Glyph['kind'],
  (context: CanvasRenderingContext2D, x: number, y: number, r: number) => void
> = {
  vent: (c, x, y, r) =>
    polygon(c, [
      [x, y - r],
      [x + r, y],
      [x, y + r],
      [x - r, y],
    ]),
  fuel: (c, x, y, r) => c.arc(x, y, r * 0.9, 0, 2 * Math.PI),
  note: (c, x, y, r) => c.rect(x - r * 0.8, y - r * 0.8, r * 1.6, r * 1.6),
  fire: (c, x, y, r) =>
    polygon(c, [
      [x, y - r * 1.2],
      [x + r * 0.8, y + r],
      [x - r * 0.8, y + r],
    ]),
  step: (c, x, y, r) => {
    c.arc(x, y, r, 0, 2 * Math.PI);
    c.arc(x, y, r * 0.5, 0, 2 * Math.PI, true);
  },
  'step-done': (c, x, y, r) => c.arc(x, y, r * 0.55, 0, 2 * Math.PI),
  alert: (c, x, y, r) =>
    polygon(c, [
      [x - r, y - r],
      [x + r, y - r],
      [x, y + r],
    ]),
};

function polygon(context: CanvasRenderingContext2D, points: readonly (readonly [number, number])[]): void {
  for (const [x, y] of points) context.lineTo(x, y);
  context.closePath();
}

function mark({ context, palette, x, top, px }: Pen, { t, kind, label }: Glyph): void {
  const at = x(t);
  context.strokeStyle = palette.faint;
  context.lineWidth = px;
  context.beginPath();
  context.moveTo(at, top + 20 * px);
  context.lineTo(at, top + 40 * px);
  context.stroke();
  context.fillStyle = palette.mark;
  context.beginPath();
  SHAPES[kind](context, at, top + 12 * px, 7 * px);
  context.fill();
  if (!label) return;
  context.font = scaledFont(px);
  context.textBaseline = 'top';
  context.textAlign = 'left';
  context.fillText(label, at + 5 * px, top + 24 * px);
}

function nowLine({ context, palette, x, left, top, height, px }: Pen, now: number): void {
  context.strokeStyle = palette.ink;
  context.lineWidth = 3 * px;
  context.beginPath();
  context.moveTo(x(now), top);
  context.lineTo(x(now), top + height);
  context.stroke();
  context.fillStyle = palette.ink;
  context.font = scaledFont(px);
  context.textBaseline = 'top';
  const atStart = x(now) < left + 50 * px;
  context.textAlign = atStart ? 'left' : 'right';
  context.fillText('now', x(now) + (atStart ? 7 : -7) * px, top + 4 * px);
}

/** Each curve is named where it ends, so that no colour has to be remembered. */
function names(pen: Pen, scene: Scene): void {
  const { context, palette, x, y, px } = pen;
  context.font = scaledFont(px);
  context.textBaseline = 'middle';
  context.textAlign = 'right';
  let taken = -Infinity;
  for (const { t, value, name, role } of ends(scene)) {
    let at = y(value) - 12 * px;
    if (Math.abs(at - taken) < 18 * px) at = taken + 18 * px;
    taken = at;
    // Of a cook that has just begun, the end lies too far left for a name before it.
    const least = pen.left + context.measureText(name).width + 6 * px;
    const right = Math.min(pen.left + pen.width - 6 * px, Math.max(x(t) - 4 * px, least));
    context.lineWidth = 4 * px;
    context.strokeStyle = palette.ground;
    context.strokeText(name, right, at);
    context.fillStyle = palette[role];
    context.fillText(name, right, at);
  }
}

type End = { t: number; value: number; name: string; role: 'stone' | 'dome' | 'other' };

function ends(scene: Scene): End[] {
  return scene.curves.flatMap(({ role, name, values }) => {
    const ahead = scene.forecast.find((f) => f.role === role)?.points.at(-1);
    if (ahead) return [{ t: Math.min(ahead.t, scene.to), value: ahead.value, name, role }];
    for (let row = values.length - 1; row >= 0; row--) {
      const value = values[row];
      const t = scene.times[row] ?? 0;
      if (value != null && t <= scene.to && t >= scene.from)
        return value >= scene.low && value <= scene.high ? [{ t, value, name, role }] : [];
    }
    return [];
  });
}
