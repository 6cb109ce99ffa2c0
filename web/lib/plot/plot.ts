import uPlot from 'uplot';
import { heatOf } from './stone-colour.ts';
import { FONT, type Palette, type Pen } from './pen.ts';
import { paintGround, paintMarks } from './plot-paint.ts';
import { valueSpace, type Curve, type Scene } from './plot-scene.ts';

/** The only file that knows the chart library. */
export type Plot = {
  paint(scene: Scene): void;
  /** Fits the plot to its element. */
  fit(): void;
  /** The plotting area, CSS pixels from the element's left and top; `lanes` is where the lanes under it begin. */
  area(): Area;
  /** Puts the cursor at a time, s, or takes it away. */
  point(t: number | null): void;
  destroy(): void;
};

export type Area = { left: number; top: number; width: number; height: number; lanes: number };
type PlotOptions = {
  /** The curves alone, without axes, marks or names. */
  isPlain?: boolean;
  /** What draws a scene's lanes, from who has any: the first screen has none. Height of one, CSS pixels. */
  lanes?: { height: number; paint(pen: Pen, scene: Scene, axis: number): void } | null;
};

const COLOURS: Record<keyof Palette, string> = {
  stone: '--heat-band',
  over: '--heat-over',
  near: '--heat-near',
  cold: '--heat-cold',
  dome: '--dome',
  other: '--other',
  band: '--band',
  ink: '--ink',
  faint: '--rule',
  future: '--future',
  dough: '--dough',
  crust: '--crust',
  ground: '--ground',
  mark: '--ink-soft',
};

function readPalette(element: HTMLElement): Palette {
  const style = getComputedStyle(element);
  const entries = Object.entries(COLOURS).map(([name, variable]) => [
    name,
    style.getPropertyValue(variable).trim(),
  ]);
  return Object.fromEntries(entries) as Palette; // same keys as COLOURS
}

const PADDING_PX = 6;
/** Half of a time of the axis, which may stand at its end. */
const RIGHT_MARGIN_PX = 24;
const AXIS_HEIGHT_PX = 30;
/** A dashed line has to be thicker to be followed. */
const DASHED_WIDTH_PX = 2.5;
const LINE_WIDTH_PX = { stone: 4.5, dome: 2, other: 1.5 } as const;

/** Draws scenes into an element, for as long as its channels and theme stay the same. */
export function createPlot(
  element: HTMLElement,
  first: Scene,
  { isPlain = false, lanes = null }: PlotOptions = {},
): Plot {
  const palette = readPalette(element);
  let scene = first;
  let at: number | null = null;
  const room = (): number => (scene.lanes?.length ?? 0) * (lanes?.height ?? 0);
  const penOf = (u: uPlot): Pen => {
    // A style sheet that comes late, or went with a page that is being left, gives no colours.
    if (!palette.ink) Object.assign(palette, readPalette(element));
    return {
      context: u.ctx,
      x: (t) => u.valToPos(t, 'x', true),
      y: (value) => u.valToPos(value, 'y', true),
      ...u.bbox,
      px: uPlot.pxRatio,
      palette,
    };
  };
  const options: uPlot.Options = {
    ...sizeOf(element),
    padding: isPlain ? [0, 0, 0, 0] : [PADDING_PX, RIGHT_MARGIN_PX, room, 0],
    legend: { show: false },
    cursor: isPlain ? { show: false } : CURSOR,
    scales: {
      x: { time: false, range: () => [scene.from, scene.to] },
      y: { range: (u) => heightOf(scene, u.height - AXIS_HEIGHT_PX - PADDING_PX) },
    },
    axes: isPlain ? [{ show: false }, { show: false }] : axesOf(palette, () => scene),
    series: [
      {},
      ...first.curves.flatMap((curve) =>
        seriesOf(curve, curve.role === 'stone' ? (u) => heatOf(penOf(u), scene) : () => palette[curve.role]),
      ),
    ],
    hooks: {
      drawClear: [(u) => paintGround(penOf(u), scene)],
      draw: [
        (u) => {
          if (isPlain) return;
          paintMarks(penOf(u), scene);
          lanes?.paint(penOf(u), scene, AXIS_HEIGHT_PX);
        },
      ],
    },
  };
  const plot = new uPlot(options, dataOf(first), element);
  let isPointed = false;
  const point = (): void => {
    const left = at === null || at < scene.from || at > scene.to ? -10 : plot.valToPos(at, 'x');
    if (left < 0 && !isPointed) return;
    isPointed = left >= 0;
    plot.setCursor({ left, top: left < 0 ? -10 : 10 }, false);
  };
  return {
    paint(next) {
      const isTickedAnew = next.ticks.join() !== scene.ticks.join();
      scene = next;
      plot.setData(dataOf(next));
      // The library keeps the marks of an axis whose range stays.
      if (isTickedAnew) plot.redraw(false, true);
      if (!isPlain) point();
    },
    fit: () => plot.setSize(sizeOf(element)),
    area: () => {
      const { left, top, width, height } = plot.bbox;
      const px = uPlot.pxRatio;
      return {
        left: left / px,
        top: top / px,
        width: width / px,
        height: height / px,
        lanes: (top + height) / px + AXIS_HEIGHT_PX,
      };
    },
    point(t) {
      at = t;
      point();
    },
    destroy: () => plot.destroy(),
  };
}

/** A reading holds until the next, s; beyond that the nearest row is as good. */
const HOLDS_SECONDS = 15;

/** What stands at a moment is what was read last before it: at a launch the stone before its fall. */
function rowBefore(u: uPlot, series: number, nearest: number, t: number): number {
  const [times, values] = [u.data[0], u.data[series]];
  for (let row = Math.min(nearest + 1, times.length - 1); row >= 0; row--) {
    const at = times[row] ?? 0;
    if (at > t) continue;
    if (t - at > HOLDS_SECONDS) break;
    if (values?.[row] != null) return row;
  }
  return nearest;
}

/** Moved by whoever owns the plot: the library's own listeners know no touch. */
const CURSOR: uPlot.Cursor = {
  dataIdx: rowBefore,
  y: false,
  drag: { x: false, y: false },
  bind: Object.fromEntries(
    ['mousedown', 'mouseup', 'click', 'dblclick', 'mousemove', 'mouseleave', 'mouseenter'].map((name) => [
      name,
      () => null,
    ]),
  ),
  hover: { prox: 24, skip: [undefined, null] },
  points: { size: 13, width: 3 },
};

/** A little air over and under the curves; more where marks and pizzas stand among them. */
const heightOf = (scene: Scene, height: number): [number, number] =>
  scene.lanes
    ? [scene.low - 0.03 * (scene.high - scene.low), scene.high + 0.03 * (scene.high - scene.low)]
    : withLanes(scene, height);

/** Room kept free of curves, CSS pixels: marks above, pizzas below. */
const LANE_ABOVE_PX = 52;
const LANE_BELOW_PX = 38;

function withLanes({ low, high }: Scene, height: number): [number, number] {
  // A low plot gives up the room for the marks first: they may cross a curve, a pizza may not.
  const above = Math.min(LANE_ABOVE_PX, height / 6);
  const perPixel = (high - low) / Math.max(40, height - above - LANE_BELOW_PX);
  return [low - LANE_BELOW_PX * perPixel, high + above * perPixel];
}

const sizeOf = (element: HTMLElement): { width: number; height: number } => ({
  width: Math.max(120, element.clientWidth),
  height: Math.max(80, element.clientHeight),
});

const dataOf = ({ times, curves }: Scene): uPlot.AlignedData =>
  [times, ...curves.flatMap(({ values, doubtful }) => [values, doubtful])] as unknown as uPlot.AlignedData; // readonly here, never written there

/** Diameter of a reading that stands by itself, CSS pixels. */
const LOOK_DIAMETER_PX = 9;

/** Rows with a value and a gap on either side. */
function lonelyRows(u: uPlot, series: number): number[] {
  const rows: number[] = [];
  let [last, isOpen] = [-1, true];
  u.data[series]?.forEach((value, row) => {
    if (value === undefined) return;
    if (value === null) {
      if (last >= 0 && isOpen) rows.push(last);
      [last, isOpen] = [-1, true];
    } else {
      isOpen &&= last < 0;
      last = row;
    }
  });
  if (last >= 0 && isOpen) rows.push(last);
  return rows;
}

/** Trustworthy values as a line, doubtful ones as single points. */
const seriesOf = ({ role, dash }: Curve, stroke: (u: uPlot) => string | CanvasGradient): uPlot.Series[] => [
  {
    stroke,
    width: dash?.length ? DASHED_WIDTH_PX : LINE_WIDTH_PX[role],
    // A look stands by itself: no line leads to it or on from it.
    points: { show: true, size: LOOK_DIAMETER_PX, width: 0, fill: stroke, filter: lonelyRows },
    ...(dash && { dash: [...dash] }),
  },
  { stroke, paths: () => null, points: { show: true, size: 4 } },
];

function axesOf(palette: Palette, scene: () => Scene): uPlot.Axis[] {
  const common = {
    stroke: () => palette.mark,
    font: FONT,
    grid: { stroke: () => palette.faint, width: 1 },
    ticks: { show: false },
  };
  return [
    {
      ...common,
      size: AXIS_HEIGHT_PX,
      splits: () => [...scene().ticks],
      values: (_u, splits) => splits.map((t) => scene().write(t)),
    },
    {
      ...common,
      size: 56,
      space: (_u, _axis, _low, _high, height) => valueSpace(height),
      values: (_u, splits) => splits.map((value) => `${value}${scene().unit ?? '°'}`.replace('-', '−')),
    },
  ];
}
