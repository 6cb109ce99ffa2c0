import type { Role } from '../../shared/words.ts';

/** What a plot shows, ready to be drawn: times in seconds since the cook started, values in the person's unit. */
export type Bar = { from: number; to: number; name: string; kind: 'baked' | 'baking' | 'planned' };
export type Glyph = {
  t: number;
  kind: 'vent' | 'fuel' | 'note' | 'alert' | 'fire' | 'step' | 'step-done';
  label?: string;
};
export type Span = { from: number; to: number };
export type Cell = number | null | undefined;
export type Curve = {
  id: string;
  role: Role;
  name: string;
  values: readonly Cell[];
  doubtful: readonly Cell[];
};
export type ForecastCurve = {
  role: 'stone' | 'dome';
  points: readonly { t: number; value: number; low: number; high: number }[];
};

export type Scene = {
  from: number;
  to: number;
  low: number;
  high: number;
  times: readonly number[];
  curves: readonly Curve[];
  forecast: readonly ForecastCurve[];
  band: readonly [number, number] | null;
  /** Where the measured ends and the forecast begins; null for a cook that is over. */
  now: number | null;
  bars: readonly Bar[];
  glyphs: readonly Glyph[];
  lids: readonly Span[];
  ticks: readonly number[];
  write: (t: number) => string;
};
