import { describe, expect, test } from 'vitest';
import {
  matchEvents,
  scoreCook,
  scoreCurve,
  scoreEta,
  scoreOvershoot,
  scoreReady,
  type Line,
} from './score.ts';
import { crossings, readyOnsets, type ScoredTruth } from './truth.ts';

/** Straight pieces between corners [second, °C]. */
function curve(...corners: [number, number][]): number[] {
  const end = corners.at(-1)?.[0] ?? 0;
  return Array.from({ length: end + 1 }, (_, t) => {
    const i = Math.max(
      1,
      corners.findIndex(([at]) => at >= t),
    );
    const [[t1, y1], [t2, y2]] = [corners[i - 1] ?? [0, 0], corners[i] ?? [0, 0]];
    return y1 + ((y2 - y1) * (t - t1)) / (t2 - t1);
  });
}

const truthOf = (stone: number[], more: Partial<ScoredTruth> = {}): ScoredTruth => ({
  name: 'by hand',
  kind: 'by hand',
  stoneBand: [250, 280],
  duration: stone.length,
  actions: [],
  stone,
  onStone: stone.map(() => false),
  ...more,
});

// 12 °C/min up to 260 at 1200 s, then flat. In the band from 1150 s; steady (6 °C in 120 s) at 1200 + 90 s.
const climb = truthOf(curve([0, 20], [1200, 260], [3000, 260]));

describe('true readiness', () => {
  test('begins when band and steadiness are both there', () => {
    expect(readyOnsets(climb)).toEqual([1290]);
  });

  test('is not while a pizza lies there, and comes again after two minutes without', () => {
    const onStone = climb.stone.map((_, t) => t >= 1500 && t < 1900);
    expect(readyOnsets({ ...climb, onStone })).toEqual([1290, 1900]);
    const brief = climb.stone.map((_, t) => t >= 1500 && t < 1600);
    expect(readyOnsets({ ...climb, onStone: brief })).toEqual([1290]);
  });

  test('is not where the stone only touches the edge of its band', () => {
    const up = (to: number) => truthOf(curve([0, 20], [1000, 240], [1500, to], [3000, to]));
    expect(readyOnsets(up(251.9))).toEqual([]);
    expect(readyOnsets(up(252.1))).toHaveLength(1);
  });

  test('is not when it lasts less than a minute', () => {
    const onStone = climb.stone.map((_, t) => t >= 1340);
    expect(readyOnsets({ ...climb, onStone })).toEqual([]);
  });
});

test('given a band that is crossed, counts a crossing that lasts a minute after three minutes below', () => {
  const stone = curve(
    [0, 270],
    [600, 270],
    [700, 290],
    [900, 290],
    [1000, 270],
    [1100, 270],
    [1200, 290],
    [1500, 290],
  );
  // up through 280 at 650 s (first second above: 651); down at 950 s; up again at 1150 s, 200 s later
  expect(crossings(truthOf(stone))).toEqual([651, 1151]);
  const short = curve([0, 270], [600, 270], [610, 290], [640, 270], [900, 270]);
  expect(crossings(truthOf(short))).toEqual([]);
});

test('ready alerts: found from 45 s before to 180 s after, false where nothing was ready near', () => {
  expect(scoreReady(climb, [1245])).toEqual({ hit: 1, missed: 0, extra: 0, delays: [-45] });
  expect(scoreReady(climb, [1470])).toEqual({ hit: 1, missed: 0, extra: 0, delays: [180] });
  expect(scoreReady(climb, [1471])).toEqual({ hit: 0, missed: 1, extra: 0, delays: [] });
  // the window of `extra` ends a minute after the alert: 1230 + 60 = 1290 is not within it
  expect(scoreReady(climb, [1230])).toMatchObject({ hit: 0, extra: 1 });
  expect(scoreReady(climb, [1231])).toMatchObject({ hit: 0, extra: 0 });
});

describe('overshoot', () => {
  // 6 °C/min through 280 at 2000 s (first second above: 2001)
  const truth = truthOf(curve([0, 80], [2000, 280], [2400, 320], [4000, 320]));

  test('warned from 20 min to 1 min before', () => {
    for (const [t, hit] of [
      [800, 0],
      [801, 1],
      [1941, 1],
      [1942, 0],
    ] as const)
      expect(scoreOvershoot(truth, [t], []).ahead.hit).toBe(hit);
    expect(scoreOvershoot(truth, [1500, 1700], []).ahead.leads).toEqual([501]);
  });

  test('a warning is false only if nothing came, nobody acted and the stone stayed 3 °C under', () => {
    const calm = truthOf(curve([0, 260], [3000, 260]));
    expect(scoreOvershoot(calm, [500], []).ahead.extra).toBe(1);
    const acted = { ...calm, actions: [{ t: 900, do: 'vent' }] };
    expect(scoreOvershoot(acted, [500], []).ahead.extra).toBe(0);
    expect(scoreOvershoot(acted, [900], []).ahead.extra).toBe(1);
    const close = truthOf(curve([0, 260], [600, 277.5], [3000, 277.5]));
    expect(scoreOvershoot(close, [500], []).ahead.extra).toBe(0);
    expect(scoreOvershoot({ ...close, actions: [{ t: 700, do: 'turn' }] }, [500], []).ahead.extra).toBe(0);
  });

  test('told from 20 s before to 180 s after, false where the stone was not within 2 °C', () => {
    expect(scoreOvershoot(truth, [], [1981]).announced).toEqual({
      hit: 1,
      missed: 0,
      extra: 0,
      delays: [-20],
    });
    expect(scoreOvershoot(truth, [], [2182]).announced).toMatchObject({ hit: 0, missed: 1, extra: 0 });
    expect(scoreOvershoot(truth, [], [1900]).announced).toMatchObject({ hit: 0, extra: 1 });
  });
});

test('time to ready is asked each minute from 20 to 3 before, not in the first five, and takes the last answer', () => {
  const lines: Line[] = [
    { t: 329, type: 'forecast', readyAt: 1350, readyBetween: [1200, 1300] },
    // asked at 1290 − 900 = 390
    { t: 380, type: 'forecast', readyAt: 1390, readyBetween: [1300, 1500] },
    { t: 385, type: 'forecast', readyAt: 1190, readyBetween: [1100, 1290] },
    { t: 449, type: 'forecast', readyAt: null, readyBetween: null },
  ];
  const score = scoreEta(climb, lines);
  // 1290 − 60m ≥ 300 gives m ≤ 16: 16 … 3
  expect(score.asked).toBe(14);
  expect(score.errors).toEqual([60, 100]);
  expect([score.ranges, score.rangesHeld]).toEqual([2, 2]);
});

test('noticings are matched once each', () => {
  expect(matchEvents([100, 400], [130, 131, 900], 30)).toEqual({ hit: 1, missed: 1, extra: 2 });
  expect(matchEvents([100, 110], [105], 30)).toEqual({ hit: 1, missed: 1, extra: 0 });
  expect(matchEvents([], [], 30)).toEqual({ hit: 0, missed: 0, extra: 0 });
});

test('the forecast curve is judged only where it was left alone', () => {
  const point = (t: number, celsius: number) => ({ t, celsius, low: celsius - 2, high: celsius + 2 });
  const line: Line = {
    t: 1500,
    type: 'forecast',
    readyAt: null,
    curve: [point(1800, 261), point(2100, 270)],
  };
  expect(scoreCurve(climb, [line])).toEqual({
    errors: [1, 10],
    held: 1,
    places: [
      { minutes: 5, place: 0.5 },
      { minutes: 10, place: 5 },
    ],
  });
  const acted = { ...climb, actions: [{ t: 1900, do: 'vent' }] };
  expect(scoreCurve(acted, [line])).toEqual({ errors: [1], held: 1, places: [{ minutes: 5, place: 0.5 }] });
});

test('a cook is scored whole', () => {
  const truth = {
    ...climb,
    actions: [
      { t: 1400, do: 'lid-open' },
      { t: 1405, do: 'launch' },
    ],
  };
  const score = scoreCook(truth, [
    { t: 1300, type: 'alert', alert: 'stone-ready' },
    { t: 1420, type: 'noticed', event: 'lid-open', at: 1402 },
    { t: 1460, type: 'noticed', event: 'off', at: 1450 },
  ]);
  expect(score.alerts).toBe(1);
  expect(score.ready.delays).toEqual([10]);
  expect(score.noticed['lid-open']).toEqual({ hit: 1, missed: 0, extra: 0 });
  expect(score.noticed.launch).toEqual({ hit: 0, missed: 1, extra: 0 });
  expect(score.noticed.off).toEqual({ hit: 0, missed: 0, extra: 1 });
});
