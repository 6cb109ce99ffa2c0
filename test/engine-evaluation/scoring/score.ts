import { crossings, readyOnsets, readySeconds, type ScoredTruth } from './truth.ts';

/**
 * Scores one online analysis against what was so. Each function says what it counts. All times seconds.
 */
export type Line =
  | { t: number; type: 'alert'; alert: string }
  | {
      t: number;
      type: 'forecast';
      readyAt: number | null;
      readyBetween?: readonly [number, number] | null;
      /** Estimate of the stone, °C, with one standard error. */
      stone?: number | null;
      stoneError?: number | null;
      /** The stone's forecast, a point a minute, with its 80 % range. */
      curve?: readonly CurvePoint[];
    }
  | { t: number; type: 'noticed'; event: string; at: number };

type CurvePoint = { t: number; celsius: number; low: number; high: number };

/** Counts of hits, misses and false alarms. */
export type Found = { hit: number; missed: number; extra: number };

export type CookScore = {
  name: string;
  kind: string;
  hours: number;
  alerts: number;
  ready: Found & { delays: number[] };
  /** `announced`: called when it had happened. `ahead`: called in time. */
  overshoot: {
    crossings: number;
    ahead: Found & { leads: number[] };
    announced: Found & { delays: number[] };
  };
  eta: { asked: number; errors: number[]; ranges: number; rangesHeld: number };
  /** The stone's estimate minute by minute from the 15th on, no pizza on it: errors, °C, and how many within 1.28 standard ones. */
  estimate: { asked: number; errors: number[]; held: number };
  /**
   * Points of the forecast's curve, 5, 10 and 20 min ahead, with nothing done in between. `place`: how far from the value
   * the truth was, as a share of its range on that side.
   */
  curve: { errors: number[]; held: number; places: { minutes: number; place: number }[] };
  noticed: Record<'lid-open' | 'launch' | 'off', Found>;
};

const alertsOf = (lines: readonly Line[], name: string): number[] =>
  lines.flatMap((line) => (line.type === 'alert' && line.alert === name ? [line.t] : []));

const highest = (series: readonly number[], from: number, to: number): number =>
  series.slice(Math.max(0, from), Math.max(0, to)).reduce((most, value) => Math.max(most, value), -Infinity);

/** How far from a true onset a call may be, s, and how far from any true ready second: of a stone measured, or looked at. */
export type Bounds = { early: number; late: number; before: number; after: number };
export const MEASURED: Bounds = { early: 45, late: 180, before: 90, after: 60 };
export const LOOKED_AT: Bounds = { early: 120, late: 240, before: 90, after: 180 };

/**
 * Found: an alert from `early` before to `late` after a true onset. Extra: one with no true ready second from `before` before
 * to `after` after it.
 */
export function scoreReady(
  truth: ScoredTruth,
  announced: readonly number[],
  { early, late, before, after }: Bounds = MEASURED,
): CookScore['ready'] {
  const ready = readySeconds(truth);
  const onsets = readyOnsets(truth);
  const delays = onsets.flatMap((onset) => {
    const first = announced.find((t) => t >= onset - early && t <= onset + late);
    return first === undefined ? [] : [first - onset];
  });
  const extra = announced.filter(
    (t) => !ready.slice(Math.max(0, Math.floor(t) - before), Math.floor(t) + after).some(Boolean),
  );
  return { hit: delays.length, missed: onsets.length - delays.length, extra: extra.length, delays };
}

/** 80 % of a normal distribution lies within so many standard errors. */
export const EIGHTY = 1.2816;

export function scoreEstimate(truth: ScoredTruth, lines: readonly Line[]): CookScore['estimate'] {
  const forecasts = lines.filter((line) => line.type === 'forecast');
  const found: CookScore['estimate'] = { asked: 0, errors: [], held: 0 };
  let next = 0;
  for (let t = 900; t < truth.duration; t += 60) {
    if (truth.onStone[t]) continue;
    found.asked += 1;
    while ((forecasts[next]?.t ?? Infinity) <= t) next += 1;
    const last = forecasts[next - 1];
    if (!last || last.t <= t - 60 || typeof last.stone !== 'number') continue;
    const error = Math.abs(last.stone - (truth.stone[t] ?? 0));
    found.errors.push(error);
    if (error <= EIGHTY * (last.stoneError ?? 0)) found.held += 1;
  }
  return found;
}

const ANSWERS = new Set(['vent', 'launch', 'lid-open', 'fuel']);

/**
 * Warned: from 20 min to 1 min before a crossing, with no other crossing between. Extra: a warning with no crossing
 * from 1 min before to 15 min after, and in those 15 min nobody did anything and the stone stayed 3 °C below the top.
 */
function scoreAhead(
  truth: ScoredTruth,
  crossed: readonly number[],
  announced: readonly number[],
): CookScore['overshoot']['ahead'] {
  const [, high] = truth.stoneBand;
  const leads = crossed.flatMap((at) => {
    const first = announced.find(
      (t) => t >= at - 1200 && t <= at - 60 && !crossed.some((other) => other > t && other < at),
    );
    return first === undefined ? [] : [at - first];
  });
  const extra = announced.filter((t) => {
    const came = crossed.some((at) => at >= t - 60 && at <= t + 900);
    const acted = truth.actions.some((act) => act.t > t && act.t <= t + 900 && ANSWERS.has(act.do));
    return !came && !acted && highest(truth.stone, Math.floor(t), Math.floor(t) + 900) <= high - 3;
  });
  return { hit: leads.length, missed: crossed.length - leads.length, extra: extra.length, leads };
}

/** Told: from 20 s before to 3 min after. Extra: the stone was not within 2 °C of the top in the 90 s before. */
function scoreAnnounced(
  truth: ScoredTruth,
  crossed: readonly number[],
  announced: readonly number[],
): CookScore['overshoot']['announced'] {
  const [, high] = truth.stoneBand;
  const delays = crossed.flatMap((at) => {
    const first = announced.find((t) => t >= at - 20 && t <= at + 180);
    return first === undefined ? [] : [first - at];
  });
  const extra = announced.filter(
    (t) => highest(truth.stone, Math.floor(t) - 90, Math.floor(t) + 1) <= high - 2,
  );
  return { hit: delays.length, missed: crossed.length - delays.length, extra: extra.length, delays };
}

export function scoreOvershoot(
  truth: ScoredTruth,
  ahead: readonly number[],
  announced: readonly number[],
): CookScore['overshoot'] {
  const crossed = crossings(truth);
  return {
    crossings: crossed.length,
    ahead: scoreAhead(truth, crossed, ahead),
    announced: scoreAnnounced(truth, crossed, announced),
  };
}

/** Asked each minute from 20 to 3 min before the first readiness, never in the first 5 min; answered by the last
 * forecast of the minute before. */
export function scoreEta(truth: ScoredTruth, lines: readonly Line[]): CookScore['eta'] {
  const score: CookScore['eta'] = { asked: 0, errors: [], ranges: 0, rangesHeld: 0 };
  const [first] = readyOnsets(truth);
  if (first === undefined) return score;
  const forecasts = lines.flatMap((line) => (line.type === 'forecast' ? [line] : []));
  for (let minutes = 20; minutes >= 3; minutes--) {
    const at = first - 60 * minutes;
    if (at < 300) continue;
    score.asked += 1;
    const answer = forecasts.findLast((line) => line.t <= at && line.t > at - 60);
    if (answer?.readyAt === null || answer?.readyAt === undefined) continue;
    score.errors.push(Math.abs(answer.readyAt - first));
    if (!answer.readyBetween) continue;
    const [from, to] = answer.readyBetween;
    score.ranges += 1;
    if (first >= from && first <= to) score.rangesHeld += 1;
  }
  return score;
}

const DISTURBS = new Set(['vent', 'launch', 'off', 'lid-open', 'fuel']);

/** How far the forecast curve was from the truth, and how often its range held it: one forecast a minute, each of its
 * points 5, 10 and 20 min ahead unless somebody did something meanwhile. */
export function scoreCurve(truth: ScoredTruth, lines: readonly Line[]): CookScore['curve'] {
  const score: CookScore['curve'] = { errors: [], held: 0, places: [] };
  let next = 0;
  for (const line of lines) {
    if (line.type !== 'forecast' || !line.curve || line.t < next) continue;
    next = line.t + 60;
    for (const point of line.curve) {
      const minutes = Math.round((point.t - line.t) / 60);
      const was = truth.stone[Math.round(point.t)];
      if (![5, 10, 20].includes(minutes) || was === undefined) continue;
      // what was done just before the forecast cannot be seen in the readings yet
      if (truth.actions.some((act) => act.t > line.t - 60 && act.t <= point.t && DISTURBS.has(act.do)))
        continue;
      score.errors.push(Math.abs(point.celsius - was));
      if (was >= point.low && was <= point.high) score.held += 1;
      const side = was > point.celsius ? point.high - point.celsius : point.celsius - point.low;
      score.places.push({ minutes, place: Math.abs(was - point.celsius) / Math.max(0.01, side) });
    }
  }
  return score;
}

/** Each true event takes the first noticing within `tolerance` that no other took. */
export function matchEvents(truths: readonly number[], noticed: readonly number[], tolerance: number): Found {
  const free = new Set(noticed.keys());
  let hit = 0;
  for (const at of truths) {
    const i = noticed.findIndex((t, index) => free.has(index) && Math.abs(t - at) <= tolerance);
    if (i < 0) continue;
    free.delete(i);
    hit += 1;
  }
  return { hit, missed: truths.length - hit, extra: free.size };
}

const TOLERANCE = { 'lid-open': 30, launch: 60, off: 60 } as const;

export function scoreNoticed(truth: ScoredTruth, lines: readonly Line[]): CookScore['noticed'] {
  const of = (event: keyof typeof TOLERANCE): Found => {
    const truths = truth.actions.filter((act) => act.do === event).map(({ t }) => t);
    const noticed = lines.flatMap((line) =>
      line.type === 'noticed' && line.event === event ? [line.at] : [],
    );
    return matchEvents(truths, noticed, TOLERANCE[event]);
  };
  return { 'lid-open': of('lid-open'), launch: of('launch'), off: of('off') };
}

/** Everything about one cook. `lines` in time order. */
export const scoreCook = (
  truth: ScoredTruth,
  lines: readonly Line[],
  bounds: Bounds = MEASURED,
): CookScore => ({
  name: truth.name,
  kind: truth.kind,
  hours: truth.duration / 3600,
  alerts: lines.filter(({ type }) => type === 'alert').length,
  ready: scoreReady(truth, alertsOf(lines, 'stone-ready'), bounds),
  overshoot: scoreOvershoot(truth, alertsOf(lines, 'overshoot-ahead'), alertsOf(lines, 'overshot')),
  eta: scoreEta(truth, lines),
  estimate: scoreEstimate(truth, lines),
  curve: scoreCurve(truth, lines),
  noticed: scoreNoticed(truth, lines),
});
