import { crossings, readyOnsets, readySeconds, type Judged } from './truth.ts';

/**
 * Scores one online analysis against what was so. Definitions are those of the project's brief for the engine; each
 * function says its own. All times seconds.
 */
export type Line =
  | { t: number; type: 'alert'; alert: string }
  | {
      t: number;
      type: 'forecast';
      readyAt: number | null;
      readyBetween?: readonly [number, number] | null;
      /** The stone's forecast, a point a minute, with its 80 % range. */
      curve?: readonly CurvePoint[];
    }
  | { t: number; type: 'noticed'; event: string; at: number };

type CurvePoint = { t: number; celsius: number; low: number; high: number };

/** Counts of hits, misses and things said for no reason. */
export type Found = { hit: number; missed: number; extra: number };

export type CookScore = {
  name: string;
  kind: string;
  hours: number;
  alerts: number;
  ready: Found & { delays: number[] };
  /** `told`: said when it had happened. `ahead`: said in time. */
  overshoot: { crossings: number; ahead: Found & { leads: number[] }; told: Found & { delays: number[] } };
  eta: { asked: number; errors: number[]; ranges: number; rangesHeld: number };
  /** Points of the forecast's curve, 5, 10 and 20 min ahead, with nothing done in between. */
  curve: { errors: number[]; held: number };
  noticed: Record<'lid-open' | 'launch' | 'off', Found>;
};

const alertsOf = (lines: readonly Line[], name: string): number[] =>
  lines.flatMap((line) => (line.type === 'alert' && line.alert === name ? [line.t] : []));

const highest = (series: readonly number[], from: number, to: number): number =>
  series.slice(Math.max(0, from), Math.max(0, to)).reduce((most, value) => Math.max(most, value), -Infinity);

/**
 * Found: an alert from 45 s before to 3 min after a true onset. Extra: one with no true ready second from 90 s before
 * to 1 min after it.
 */
export function scoreReady(truth: Judged, said: readonly number[]): CookScore['ready'] {
  const ready = readySeconds(truth);
  const onsets = readyOnsets(truth);
  const delays = onsets.flatMap((onset) => {
    const first = said.find((t) => t >= onset - 45 && t <= onset + 180);
    return first === undefined ? [] : [first - onset];
  });
  const extra = said.filter(
    (t) => !ready.slice(Math.max(0, Math.floor(t) - 90), Math.floor(t) + 60).some(Boolean),
  );
  return { hit: delays.length, missed: onsets.length - delays.length, extra: extra.length, delays };
}

const ANSWERS = new Set(['vent', 'launch', 'lid-open', 'fuel']);

/**
 * Warned: from 20 min to 1 min before a crossing, with no other crossing between. Extra: a warning with no crossing
 * from 1 min before to 15 min after, and in those 15 min nobody did anything and the stone stayed 3 °C below the top.
 */
function scoreAhead(
  truth: Judged,
  crossed: readonly number[],
  said: readonly number[],
): CookScore['overshoot']['ahead'] {
  const [, high] = truth.stoneBand;
  const leads = crossed.flatMap((at) => {
    const first = said.find(
      (t) => t >= at - 1200 && t <= at - 60 && !crossed.some((other) => other > t && other < at),
    );
    return first === undefined ? [] : [at - first];
  });
  const extra = said.filter((t) => {
    const came = crossed.some((at) => at >= t - 60 && at <= t + 900);
    const acted = truth.actions.some((act) => act.t > t && act.t <= t + 900 && ANSWERS.has(act.do));
    return !came && !acted && highest(truth.stone, Math.floor(t), Math.floor(t) + 900) <= high - 3;
  });
  return { hit: leads.length, missed: crossed.length - leads.length, extra: extra.length, leads };
}

/** Told: from 20 s before to 3 min after. Extra: the stone was not within 2 °C of the top in the 90 s before. */
function scoreTold(
  truth: Judged,
  crossed: readonly number[],
  said: readonly number[],
): CookScore['overshoot']['told'] {
  const [, high] = truth.stoneBand;
  const delays = crossed.flatMap((at) => {
    const first = said.find((t) => t >= at - 20 && t <= at + 180);
    return first === undefined ? [] : [first - at];
  });
  const extra = said.filter((t) => highest(truth.stone, Math.floor(t) - 90, Math.floor(t) + 1) <= high - 2);
  return { hit: delays.length, missed: crossed.length - delays.length, extra: extra.length, delays };
}

export function scoreOvershoot(
  truth: Judged,
  ahead: readonly number[],
  told: readonly number[],
): CookScore['overshoot'] {
  const crossed = crossings(truth);
  return {
    crossings: crossed.length,
    ahead: scoreAhead(truth, crossed, ahead),
    told: scoreTold(truth, crossed, told),
  };
}

/** Asked each minute from 20 to 3 min before the first readiness, never in the first 5 min; answered by the last
 * forecast of the minute before. */
export function scoreEta(truth: Judged, lines: readonly Line[]): CookScore['eta'] {
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
export function scoreCurve(truth: Judged, lines: readonly Line[]): CookScore['curve'] {
  const score: CookScore['curve'] = { errors: [], held: 0 };
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

export function scoreNoticed(truth: Judged, lines: readonly Line[]): CookScore['noticed'] {
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
export const scoreCook = (truth: Judged, lines: readonly Line[]): CookScore => ({
  name: truth.name,
  kind: truth.kind,
  hours: truth.duration / 3600,
  alerts: lines.filter(({ type }) => type === 'alert').length,
  ready: scoreReady(truth, alertsOf(lines, 'stone-ready')),
  overshoot: scoreOvershoot(truth, alertsOf(lines, 'overshoot-ahead'), alertsOf(lines, 'overshot')),
  eta: scoreEta(truth, lines),
  curve: scoreCurve(truth, lines),
  noticed: scoreNoticed(truth, lines),
});
