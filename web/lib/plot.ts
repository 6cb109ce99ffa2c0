import uPlot from 'uplot';
import { FONT, paintGround, paintMarks, type Palette, type Pen } from './plot-paint.ts';
import type { Curve, Scene } from './scene.ts';

/** The only file that knows the chart library. */
export type Plot = {
  paint(scene: Scene): void;
  /** Fits the plot to its element. */
  fit(): void;
  /** The plotting area, CSS pixels from the element's left and top. */
  area(): { left: number; top: number; width: number; height: number };
  destroy(): void;
};

const COLOURS: Record<keyof Palette, string> = {
  stone: '--stone',
  dome: '--dome',
  other: '--other',
  band: '--band',
  ink: '--ink',
  faint: '--rule',
  future: '--future',
  pizza: '--pizza',
  baking: '--baking',
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

const PADDING = 6;
const AXIS = 30;
const WIDTH = { stone: 4.5, dome: 2, other: 1.5 } as const;

/** Draws scenes into an element, for as long as its channels and theme stay the same. */
export function createPlot(element: HTMLElement, first: Scene): Plot {
  const palette = readPalette(element);
  let scene = first;
  const penOf = (u: uPlot): Pen => ({
    context: u.ctx,
    x: (t) => u.valToPos(t, 'x', true),
    y: (value) => u.valToPos(value, 'y', true),
    ...u.bbox,
    px: uPlot.pxRatio,
    palette,
  });
  const options: uPlot.Options = {
    ...sizeOf(element),
    padding: [PADDING, 8, 0, 0],
    legend: { show: false },
    cursor: { show: false },
    scales: {
      x: { time: false, range: () => [scene.from, scene.to] },
      y: { range: (u) => withLanes(scene, u.height - AXIS - PADDING) },
    },
    axes: axesOf(palette, () => scene),
    series: [{}, ...first.curves.flatMap((curve) => seriesOf(curve, palette))],
    hooks: {
      drawClear: [(u) => paintGround(penOf(u), scene)],
      draw: [(u) => paintMarks(penOf(u), scene)],
    },
  };
  const plot = new uPlot(options, dataOf(first), element);
  return {
    paint(next) {
      scene = next;
      plot.setData(dataOf(next));
    },
    fit: () => plot.setSize(sizeOf(element)),
    area: () => {
      const { left, top, width, height } = plot.bbox;
      const px = uPlot.pxRatio;
      return { left: left / px, top: top / px, width: width / px, height: height / px };
    },
    destroy: () => plot.destroy(),
  };
}

/** Room kept free of curves, CSS pixels: marks above, pizzas below. */
const LANE_ABOVE = 52;
const LANE_BELOW = 38;

function withLanes({ low, high }: Scene, height: number): [number, number] {
  // A low plot gives up the room for the marks first: they may cross a curve, a pizza may not.
  const above = Math.min(LANE_ABOVE, height / 6);
  const perPixel = (high - low) / Math.max(40, height - above - LANE_BELOW);
  return [low - LANE_BELOW * perPixel, high + above * perPixel];
}

const sizeOf = (element: HTMLElement): { width: number; height: number } => ({
  width: Math.max(120, element.clientWidth),
  height: Math.max(80, element.clientHeight),
});

const dataOf = ({ times, curves }: Scene): uPlot.AlignedData =>
  [times, ...curves.flatMap(({ values, doubtful }) => [values, doubtful])] as unknown as uPlot.AlignedData; // readonly here, never written there

/** Trustworthy values as a line, doubtful ones as single points. */
const seriesOf = ({ role }: Curve, palette: Palette): uPlot.Series[] => [
  { stroke: palette[role], width: WIDTH[role], points: { show: false } },
  { stroke: palette[role], paths: () => null, points: { show: true, size: 4 } },
];

function axesOf(palette: Palette, scene: () => Scene): uPlot.Axis[] {
  const common = {
    stroke: palette.mark,
    font: FONT,
    grid: { stroke: palette.faint, width: 1 },
    ticks: { show: false },
  };
  return [
    {
      ...common,
      size: AXIS,
      splits: () => [...scene().ticks],
      values: (_u, splits) => splits.map((t) => scene().write(t)),
    },
    {
      ...common,
      size: 56,
      space: 44,
      values: (_u, splits) => splits.map((value) => `${value}°`.replace('-', '−')),
    },
  ];
}
