import type { CookDetail, StoneEstimate } from '../../../../shared/api/api.ts';
import type { Now } from '../../../../shared/api/live.ts';
import type { Unit } from '../../../../shared/units.ts';
import { capital, differenceInUnit, formatElapsed, inUnit, timeWriter } from '../../../lib/format.ts';
import type { Cell, Curve, ForecastCurve, Lane, Scene } from '../../../lib/plot/plot-scene.ts';
import { STANDARD_ERRORS_80 } from '../../../../shared/statistics/normal.ts';
import { eventsOf, glyphs, lidSpans, nowBars, planGlyphs } from './marks.ts';
import type { Series } from './series.ts';
import { thinDrawing } from './thin-drawing.ts';
import { timeTicks, type Range } from './zoom.ts';

/** Puts together what a plot shows. Pure. */

const SPANS = ['evening', 'closer'] as const;
export type LineSpan = (typeof SPANS)[number];

/** The forecast reaches this far, s. */
const FORECAST_SECONDS = 20 * 60;
/** The first launch of the plan is shown when it lies within this time, s. */
const PLAN_AHEAD_SECONDS = 3 * 3600;
/** The nearer view, s: now lies at a third of it. */
const CLOSER_BACK_SECONDS = 15 * 60;
const CLOSER_AHEAD_SECONDS = 30 * 60;
/** A band further off than this from what is drawn is only named, °C: the axis follows the data. */
const NEAR_BAND_CELSIUS = 60;
/** A fan wider than this does not stretch the axis, °C. */
const MAX_FAN_CELSIUS = 25;
/** The axis never shows less than this, °C, so that noise does not look like weather. */
const MIN_HEIGHT_CELSIUS = 40;

type LiveParts = {
  now: Now;
  series: Series;
  estimates: readonly StoneEstimate[];
  unit: Unit;
  t: number;
  span: LineSpan;
  width: number;
};

export function liveScene({ now, series, estimates, unit, t, span, width }: LiveParts): Scene {
  const bars = nowBars(now, t);
  const first = now.plan?.steps.find(({ id }) => id === 'launch:1')?.t ?? t;
  const ahead = [...bars.map((bar) => bar.to), first < t + PLAN_AHEAD_SECONDS ? first : t];
  const isWhole = span === 'evening';
  const to = isWhole ? Math.max(t + FORECAST_SECONDS, ...ahead) : t + CLOSER_AHEAD_SECONDS;
  const from = isWhole ? Math.min(0, series.times[0] ?? 0) : t - CLOSER_BACK_SECONDS;
  const events = eventsOf(now);
  const forecast = now.forecast ? forecastCurves(now.forecast, unit, t) : [];
  const write = now.cook ? timeWriter(now.cook) : String;
  const alerts = now.alerts.map((a) => ({ t: a.raisedAt, kind: 'alert' as const }));
  const room = (MARK_ROOM_PIXELS / Math.max(1, width)) * (to - from);
  const marks = [...planGlyphs(now, room), ...glyphs(events), ...alerts];
  return {
    ...measured(
      { channels: now.channels, series, unit, width },
      { from, to },
      [...forecast, estimateCurve(estimates, unit)],
      now.cook,
    ),
    from,
    to,
    forecast,
    estimate: estimateCurve(estimates, unit),
    now: t,
    // Of a long evening most lies outside the nearer view, and would be drawn for nothing; a mark is no wider than its room.
    bars: bars.filter((bar) => bar.to >= from - room && bar.from <= to),
    glyphs: marks.filter((glyph) => glyph.t >= from - room && glyph.t <= to + room),
    lids: lidSpans(events, t).filter((lid) => lid.to >= from && lid.from <= to),
    ticks: ticksOf(now.cook, { from, to }, width),
    write,
  };
}

type CookParts = {
  cook: CookDetail;
  series: Series;
  estimates: readonly StoneEstimate[];
  unit: Unit;
  range: Range;
  width: number;
  lanes: readonly Lane[];
  /** Times as seconds since the start, and not by the clock. */
  elapsed: boolean;
};

export const cookScene = ({
  cook,
  series,
  estimates,
  unit,
  range,
  width,
  lanes,
  elapsed,
}: CookParts): Scene => ({
  ...measured(
    { channels: cook.channels, series, unit, width },
    range,
    [estimateCurve(estimates, unit)],
    cook,
  ),
  ...range,
  forecast: [],
  estimate: estimateCurve(estimates, unit),
  now: null,
  bars: [],
  glyphs: [],
  lids: [],
  lanes,
  ticks: ticksOf(elapsed ? null : cook, range, width),
  write: elapsed ? formatElapsed : timeWriter(cook),
});

/** One label a 110 px. */
function ticksOf(
  cook: { startedAt: string; rehearsal: boolean } | null,
  range: Range,
  width: number,
): number[] {
  const isElapsed = !cook || cook.rehearsal;
  const offset = isElapsed ? 0 : secondsPastHour(Date.parse(cook.startedAt));
  const ticks = timeTicks(range, Math.max(2, Math.floor(width / 110)), offset);
  // Time that has elapsed begins with the cook.
  return isElapsed ? ticks.filter((t) => t >= 0) : ticks;
}

function secondsPastHour(ms: number): number {
  const at = new Date(ms);
  return at.getMinutes() * 60 + at.getSeconds() + at.getMilliseconds() / 1000;
}

/** A mark with its words, or a pizza that has just been launched, is no wider, CSS pixels. */
const MARK_ROOM_PIXELS = 90;
/** Pixels that share a bucket of the drawing: a curve's line is wider. */
export const BUCKET_PIXELS = 3;

type Measured = {
  channels: readonly Pick<Curve, 'id' | 'role' | 'name'>[];
  series: Series;
  unit: Unit;
  width: number;
};

function measured(
  { channels, series, unit, width }: Measured,
  seen: Range,
  beside: readonly ForecastCurve[],
  cook: { targets: { stone?: readonly [number, number] | undefined } } | null,
): Pick<Scene, 'times' | 'curves' | 'band' | 'bandUnit' | 'low' | 'high'> {
  const columns = channels.flatMap(({ id }) => [series.good[id], series.doubtful[id]]);
  const drawn = thinDrawing({ times: series.times, columns }, seen, Math.ceil(width / BUCKET_PIXELS));
  const curves = channels.map(({ id, role, name }, i) => ({
    id,
    role,
    name: capital(name),
    values: convert(withGaps(drawn.columns[2 * i] ?? []), unit),
    doubtful: convert(drawn.columns[2 * i + 1] ?? [], unit),
  }));
  const band = cook?.targets.stone;
  const shown = band ? ([inUnit(band[0], unit), inUnit(band[1], unit)] as const) : null;
  return {
    times: drawn.times,
    curves,
    band: shown,
    bandUnit: unit,
    ...heightOf(curves, drawn.times, seen, beside, shown, unit),
  };
}

/**
 * Where a curve has a gap, one from its last value to its next. The chart library draws a gap from the row before to the
 * row after, and those may be another channel's.
 */
export function withGaps(cells: readonly Cell[]): Cell[] {
  const drawn = [...cells];
  let from = 0;
  let isGap = false;
  cells.forEach((cell, row) => {
    isGap ||= cell === null;
    if (cell == null) return;
    if (isGap) drawn.fill(null, from, row);
    [from, isGap] = [row + 1, false];
  });
  return isGap ? drawn.fill(null, from) : drawn;
}

const convert = (cells: readonly Cell[], unit: Unit): readonly Cell[] =>
  unit === 'C' ? cells : cells.map((c) => (c == null ? c : inUnit(c, unit)));

function heightOf(
  curves: readonly Curve[],
  times: readonly number[],
  { from, to }: Range,
  beside: readonly ForecastCurve[],
  band: readonly [number, number] | null,
  unit: Unit,
): { low: number; high: number } {
  let low = Infinity;
  let high = -Infinity;
  const take = (value: Cell): void => {
    if (value == null) return;
    low = Math.min(low, value);
    high = Math.max(high, value);
  };
  for (const { role, values } of curves)
    // Air and dough would flatten the rest; they are drawn where they fit.
    if (role !== 'other')
      values.forEach((value, row) => {
        const t = times[row] ?? 0;
        if (t >= from && t <= to) take(value);
      });
  const fan = differenceInUnit(MAX_FAN_CELSIUS, unit);
  for (const { points } of beside)
    for (const { t, value, low: least, high: most } of points) {
      if (t < from || t > to) continue;
      take(Math.max(least, value - fan));
      take(Math.min(most, value + fan));
    }
  if (low > high)
    return band
      ? { low: band[0] - MIN_HEIGHT_CELSIUS, high: band[1] + MIN_HEIGHT_CELSIUS }
      : { low: 0, high: 300 };
  const near = differenceInUnit(NEAR_BAND_CELSIUS, unit);
  if (band && band[0] - high < near && low - band[1] < near) band.forEach(take);
  const middle = (low + high) / 2;
  const span = Math.max(MIN_HEIGHT_CELSIUS, high - low);
  return { low: middle - span / 2, high: middle + span / 2 };
}

const estimateCurve = (estimates: readonly StoneEstimate[], unit: Unit): ForecastCurve => ({
  role: 'stone',
  points: estimates.map(([t, celsius, error]) => ({
    t,
    value: inUnit(celsius, unit),
    low: inUnit(celsius - STANDARD_ERRORS_80 * error, unit),
    high: inUnit(celsius + STANDARD_ERRORS_80 * error, unit),
  })),
});

function forecastCurves({ curves }: NonNullable<Now['forecast']>, unit: Unit, t: number): ForecastCurve[] {
  return (['stone', 'dome'] as const).map((role) => ({
    role,
    points: curves[role]
      .filter((p) => p.t >= t - 30)
      .map((p) => ({
        t: p.t,
        value: inUnit(p.celsius, unit),
        low: inUnit(p.low, unit),
        high: inUnit(p.high, unit),
      })),
  }));
}
