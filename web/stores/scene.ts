import type { CookDetail } from '../../shared/api.ts';
import type { Now } from '../../shared/live.ts';
import type { Unit } from '../../shared/units.ts';
import { capital, inUnit, timeWriter } from '../lib/format.ts';
import type { Cell, Curve, ForecastCurve, Scene } from '../lib/scene.ts';
import { cookBars, eventsOf, glyphs, lidSpans, nowBars, planGlyphs } from './marks.ts';
import type { Series } from './series.ts';
import { thinDrawing } from './thin-drawing.ts';
import { timeTicks, type Range } from './zoom.ts';

/** Puts together what a plot shows. Pure. */

export const SPANS = ['evening', 'closer'] as const;
export type LineSpan = (typeof SPANS)[number];

/** The forecast reaches this far, s. */
const AHEAD = 20 * 60;
/** The first launch of the plan is shown when it lies within this time, s. */
const PLAN_AHEAD = 3 * 3600;
/** "Closer" looks this far back, s. */
const BACK = 25 * 60;
/** The axis never shows less than this, °C, so that noise does not look like weather. */
const LEAST_HEIGHT = 40;

type LiveParts = { now: Now; series: Series; unit: Unit; t: number; span: LineSpan; width: number };

export function liveScene({ now, series, unit, t, span, width }: LiveParts): Scene {
  const bars = nowBars(now, t);
  const first = now.plan?.steps.find(({ id }) => id === 'launch:1')?.t ?? t;
  const ahead = [...bars.map((bar) => bar.to), first < t + PLAN_AHEAD ? first : t];
  const to = Math.max(t + AHEAD, ...(span === 'evening' ? ahead : []));
  const from = span === 'evening' ? Math.min(0, series.times[0] ?? 0) : Math.max(Math.min(0, t), t - BACK);
  const events = eventsOf(now);
  const forecast = now.forecast ? forecastCurves(now.forecast, unit, t) : [];
  const write = now.cook ? timeWriter(now.cook) : String;
  const alerts = now.alerts.map((a) => ({ t: a.raisedAt, kind: 'alert' as const }));
  return {
    ...measured({ channels: now.channels, series, unit, width }, { from, to }, forecast, now.cook),
    from,
    to,
    forecast,
    now: t,
    bars,
    glyphs: [...planGlyphs(now, (90 / Math.max(1, width)) * (to - from)), ...glyphs(events), ...alerts],
    lids: lidSpans(events, t),
    ticks: ticksOf(now.cook, { from, to }, width),
    write,
  };
}

export function cookScene(cook: CookDetail, series: Series, unit: Unit, range: Range, width: number): Scene {
  const events = cook.marks.filter((m) => m.kind === 'event');
  return {
    ...measured({ channels: cook.channels, series, unit, width }, range, [], cook),
    ...range,
    forecast: [],
    now: null,
    bars: cookBars(cook),
    glyphs: glyphs(events),
    lids: lidSpans(events, cook.seconds),
    ticks: ticksOf(cook, range, width),
    write: timeWriter(cook),
  };
}

/** One label a 110 px. */
function ticksOf(
  cook: { startedAt: string; rehearsal: boolean } | null,
  range: Range,
  width: number,
): number[] {
  const offset = !cook || cook.rehearsal ? 0 : secondsPastHour(Date.parse(cook.startedAt));
  return timeTicks(range, Math.max(2, Math.floor(width / 110)), offset);
}

function secondsPastHour(ms: number): number {
  const at = new Date(ms);
  return at.getMinutes() * 60 + at.getSeconds() + at.getMilliseconds() / 1000;
}

/** Pixels that share a bucket of the drawing: a curve's line is wider. */
const BUCKET_PIXELS = 3;

type Measured = {
  channels: readonly Pick<Curve, 'id' | 'role' | 'name'>[];
  series: Series;
  unit: Unit;
  width: number;
};

function measured(
  { channels, series, unit, width }: Measured,
  seen: Range,
  forecast: readonly ForecastCurve[],
  cook: { targets: { stone?: readonly [number, number] | undefined } } | null,
): Pick<Scene, 'times' | 'curves' | 'band' | 'low' | 'high'> {
  const columns = channels.flatMap(({ id }) => [series.good[id], series.doubtful[id]]);
  const drawn = thinDrawing({ times: series.times, columns }, seen, Math.ceil(width / BUCKET_PIXELS));
  const curves = channels.map(({ id, role, name }, i) => ({
    id,
    role,
    name: capital(name),
    values: convert(drawn.columns[2 * i] ?? [], unit),
    doubtful: convert(drawn.columns[2 * i + 1] ?? [], unit),
  }));
  const band = cook?.targets.stone;
  const shown = band ? ([inUnit(band[0], unit), inUnit(band[1], unit)] as const) : null;
  return {
    times: drawn.times,
    curves,
    band: shown,
    ...heightOf(curves, drawn.times, seen, forecast, shown),
  };
}

const convert = (cells: readonly Cell[], unit: Unit): readonly Cell[] =>
  unit === 'C' ? cells : cells.map((c) => (c == null ? c : inUnit(c, unit)));

function heightOf(
  curves: readonly Curve[],
  times: readonly number[],
  { from, to }: Range,
  forecast: readonly ForecastCurve[],
  band: readonly [number, number] | null,
): { low: number; high: number } {
  let low = band ? band[0] : Infinity;
  let high = band ? band[1] : -Infinity;
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
  for (const { points } of forecast) for (const point of points) take(point.value);
  if (low > high) return { low: 0, high: 300 };
  const middle = (low + high) / 2;
  const span = Math.max(LEAST_HEIGHT, high - low);
  return { low: middle - span / 2, high: middle + span / 2 };
}

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
