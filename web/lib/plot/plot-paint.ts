import { pizzaBar } from './paint-pizza.ts';
import { drawEdges, scaledFont, type Pen } from './pen.ts';
import type { ForecastCurve, Glyph, Scene, Span } from './plot-scene.ts';

/** Draws on a plot's canvas what is not a curve: band, fan, lid openings, pizzas, marks, the line of now. */

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
    if (scene.estimate) fan(pen, scene.estimate, []);
    for (const curve of scene.forecast) fan(pen, curve, FORECAST_DASH_PX);
  });
}

/** Over the curves. */
export function paintMarks(pen: Pen, scene: Scene): void {
  clipped(pen, () => {
    for (const bar of scene.bars) pizzaBar(pen, bar);
    for (const glyph of scene.glyphs) mark(pen, glyph);
    const band = scene.band && bandWords(pen, scene.band, scene);
    const now = scene.now === null ? null : nowLine(pen, scene.now, band);
    if (band) writeAt(pen, band, pen.palette.mark);
    names(
      pen,
      scene,
      [band, now].flatMap((words) => words ?? []),
    );
    scene.over?.(pen);
  });
}

/** Words that can be read whatever lies under them. */
export function write(
  { context, palette, px }: Pen,
  text: string,
  left: number,
  at: number,
  colour: string,
): void {
  context.lineWidth = 4 * px;
  context.strokeStyle = palette.ground;
  context.strokeText(text, left, at);
  context.fillStyle = colour;
  context.fillText(text, left, at);
}

function future(pen: Pen, now: number): void {
  const { context, palette, x, top, left, width, height } = pen;
  context.fillStyle = palette.future;
  context.fillRect(x(now), top, left + width - x(now), height);
}

/** The band as a shaded stripe between two dashed edges. */
function band(pen: Pen, edges: readonly [number, number]): void {
  const { context, palette, y, left, width } = pen;
  const [low, high] = edges;
  context.fillStyle = palette.band;
  context.globalAlpha = 0.14;
  context.fillRect(left, y(high), width, y(low) - y(high));
  context.globalAlpha = 1;
  drawEdges(pen, edges, palette.band, [8, 6]);
}

/** Height of a line of words, CSS pixels. */
const LINE_HEIGHT_PX = 18;

/** Words of one line, their upper left corner and width in canvas pixels. */
type Words = { text: string; left: number; top: number; width: number };

function writeAt(pen: Pen, { text, left, top }: Words, colour: string): void {
  pen.context.textAlign = 'left';
  pen.context.textBaseline = 'top';
  write(pen, text, left, top, colour);
}

/** The band's edges at the left, or where it lies beyond the axis, an arrow to it. */
function bandWords(
  pen: Pen,
  [low, high]: readonly [number, number],
  { bandName = 'band', bandUnit }: Scene,
): Words {
  const { context, y, left, px, top, height } = pen;
  context.font = scaledFont(px);
  const edges = `${bandName} ${Math.round(low)}–${Math.round(high)}${bandUnit ? ` °${bandUnit}` : '°'}`;
  const [text, at] =
    y(low) < top
      ? [`↑ ${edges}`, top + 24 * px]
      : y(high) > top + height
        ? [`↓ ${edges}`, top + height - 60 * px]
        : [edges, Math.max(top, y(high)) + 3 * px];
  return { text, left: left + 6 * px, top: at, width: context.measureText(text).width };
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

/** Stroke and gap of a forecast, CSS pixels. */
const FORECAST_DASH_PX = [2, 6];

/** The 80 % range as a fan, the middle as a line. */
function fan(
  { context, palette, x, y, px }: Pen,
  { role, points }: ForecastCurve,
  dash: readonly number[],
): void {
  const first = points[0];
  if (!first || points.length < 2) return;
  context.fillStyle = palette[role];
  context.globalAlpha = role === 'stone' ? 0.28 : 0.07;
  context.beginPath();
  context.moveTo(x(first.t), y(first.high));
  for (const p of points) context.lineTo(x(p.t), y(p.high));
  for (const p of [...points].reverse()) context.lineTo(x(p.t), y(p.low));
  context.closePath();
  context.fill();
  context.globalAlpha = 1;
  context.strokeStyle = palette[role];
  context.lineWidth = (role === 'stone' ? 3.5 : 2) * px;
  context.setLineDash(dash.map((length) => length * px));
  context.lineCap = 'round';
  context.beginPath();
  for (const p of points) context.lineTo(x(p.t), y(p.value));
  context.stroke();
  context.setLineDash([]);
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

/** The word stands before the line, or after it where the axis is near; under the words of the band where it meets them. */
function nowLine(pen: Pen, now: number, band: Words | null): Words | null {
  const { context, palette, x, left, top, height, px } = pen;
  context.strokeStyle = palette.ink;
  context.lineWidth = 3 * px;
  context.beginPath();
  context.moveTo(x(now), top);
  context.lineTo(x(now), top + height);
  context.stroke();
  if (isLow(pen)) return null;
  context.font = scaledFont(px);
  const width = context.measureText('now').width;
  const before = x(now) - 7 * px - width;
  // Under the row of marks.
  const words = { text: 'now', left: before < left ? x(now) + 7 * px : before, top: top + 23 * px, width };
  if (band && overlap(words, band, LINE_HEIGHT_PX * px)) words.top = band.top + LINE_HEIGHT_PX * px;
  writeAt(pen, words, palette.ink);
  return words;
}

/** A plot lower than this, CSS pixels, has room for the words that the most hangs on alone. */
const LOW = 120;
const isLow = ({ height, px }: Pen): boolean => height < LOW * px;

const overlap = (a: Words, b: Words, line: number): boolean =>
  a.left < b.left + b.width && b.left < a.left + a.width && Math.abs(a.top - b.top) < line;

/**
 * Each curve is named where it ends, so that no colour has to be remembered: the upper above its line, one that has no
 * room there below its own, and none over other words.
 */
function names(pen: Pen, scene: Scene, taken: readonly Words[]): void {
  const { context, palette, x, y, px, top, height } = pen;
  context.font = scaledFont(px);
  context.textBaseline = 'middle';
  context.textAlign = 'right';
  const written = [...taken];
  for (const { t, value, name, role } of ends(scene)
    .filter(({ role }) => !(scene.over && scene.now !== null && role === 'stone'))
    .sort((a, b) => y(a.value) - y(b.value))) {
    const width = context.measureText(name).width;
    // Of a cook that has just begun, the end lies too far left for a name before it.
    const least = pen.left + width + 6 * px;
    const right = Math.min(pen.left + pen.width - 6 * px, Math.max(x(t) - 4 * px, least));
    const wordsAt = (at: number): Words => ({ text: name, left: right - width, top: at - 8 * px, width });
    const isFree = (at: number): boolean =>
      at > top + 8 * px && !written.some((words) => overlap(wordsAt(at), words, LINE_HEIGHT_PX * px));
    const [above, below] = [y(value) - 12 * px, y(value) + 12 * px];
    const places = [above, below, ...[1, 2, 3].map((line) => below + line * LINE_HEIGHT_PX * px)];
    const at = Math.min(places.find(isFree) ?? above, top + height - 9 * px);
    written.push(wordsAt(at));
    write(pen, name, right, at, palette[role]);
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
