import type { Role } from '../../../shared/words.ts';
import type { Pen } from './pen.ts';

/** What a plot shows, ready to be drawn: times in seconds since the cook started, values in the person's unit. */
export type Bar = {
  from: number;
  to: number;
  name: string;
  kind: 'baked' | 'baking' | 'planned';
  brown?: number;
};
export type Glyph = {
  t: number;
  kind: 'vent' | 'fuel' | 'note' | 'alert' | 'fire' | 'step' | 'step-done';
  label?: string;
};
export type Span = { from: number; to: number };
/**
 * The least distance of two numbers at the axis of values, CSS pixels: steps of it go 1, 2, 2.5, 5, 10, so that it comes to
 * less than twice that, and a plot that is a quarter of that high has two of them.
 */
export const valueSpace = (height: number): number => Math.min(44, height / 4);

export type Cell = number | null | undefined;
export type Curve = {
  id: string;
  role: Role;
  name: string;
  values: readonly Cell[];
  doubtful: readonly Cell[];
  /** Lengths of strokes and gaps, CSS pixels; without it the line is whole. */
  dash?: readonly number[];
};
export type ForecastCurve = {
  role: 'stone' | 'dome';
  points: readonly { t: number; value: number; low: number; high: number }[];
};

/**
 * `short` stands where `label` has no room; `share` is how much of the lane's height is filled, 0 to 1; `brown` how dark a
 * pizza came out.
 */
export type LaneItem = {
  from: number;
  to: number;
  label: string;
  short?: string;
  share?: number;
  brown?: number;
  /** Nothing tells what was so then. */
  isUnknown?: true;
};
/** One kind of thing that happened, in a row of its own under the curve. */
export type Lane = {
  label: string;
  kind: 'bars' | 'spans' | 'steps' | 'dots' | 'flags';
  items: readonly LaneItem[];
};

export type Scene = {
  from: number;
  to: number;
  low: number;
  high: number;
  times: readonly number[];
  curves: readonly Curve[];
  forecast: readonly ForecastCurve[];
  /** The stone so far where nobody measured it. */
  estimate?: ForecastCurve;
  band: readonly [number, number] | null;
  /** What the band is called, where there are several; without it "band". */
  bandName?: string;
  /** What its degrees are. */
  bandUnit?: 'C' | 'F';
  /** Where the measured ends and the forecast begins; null for a cook that is over. */
  now: number | null;
  bars: readonly Bar[];
  glyphs: readonly Glyph[];
  lids: readonly Span[];
  /** Under the axis; without them marks and pizzas stand in the plot. */
  lanes?: readonly Lane[];
  ticks: readonly number[];
  write: (t: number) => string;
  /** Draws what was asked for over all else. */
  over?: ((pen: Pen) => void) | null;
  /** What stands behind a value on the axis; without it the degree sign. */
  unit?: string;
};
