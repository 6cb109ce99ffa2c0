import { expect, test } from 'vitest';
import { calibrationSvg, coverage } from './calibration.ts';
import { scoreCook } from './score.ts';
import type { ScoredTruth } from './truth.ts';

const stone = Array.from({ length: 4000 }, () => 260);
const truth: ScoredTruth = {
  name: 'flat',
  kind: 'careful',
  stoneBand: [250, 280],
  duration: 4000,
  actions: [],
  stone,
  onStone: stone.map(() => false),
};

/** A forecast whose 80 % range ends 4 °C above and 2 °C below a value that is `off` from the truth, 5 min ahead. */
const forecast = (t: number, off: number) =>
  ({
    t,
    type: 'forecast',
    readyAt: null,
    curve: [{ t: t + 300, celsius: 260 + off, low: 258 + off, high: 264 + off }],
  }) as const;

test('given errors of half, all and twice a range, the level that holds each is its own, on its own side', () => {
  // half of the lower side; the whole of the upper; twice the lower
  const [found] = coverage([scoreCook(truth, [forecast(600, 1), forecast(900, -4), forecast(1200, 4)])]);
  expect(found).toMatchObject({ minutes: 5, points: 3 });
  const held = Object.fromEntries(found?.held.map((at) => [at.meant, at.held]) ?? []);
  // 2·Φ(0.6408) − 1 = 0.478, 2·Φ(1.2816) − 1 = 0.8, 2·Φ(2.5631) − 1 = 0.990 (tables of the normal distribution)
  expect(held[0.4]).toBe(0);
  expect(held[0.5]).toBeCloseTo(1 / 3);
  expect(held[0.7]).toBeCloseTo(1 / 3);
  expect(held[0.9]).toBeCloseTo(2 / 3);
});

test('given a coverage, the plot has a line for each horizon, a point for each level', () => {
  const scores = [scoreCook(truth, [forecast(600, 1)])];
  const svg = calibrationSvg(coverage(scores));
  const lines = svg.match(/<polyline points="([^"]*)"/g) ?? [];
  expect(lines).toHaveLength(1);
  expect(lines[0]?.split(' ').length).toBe(10);
  expect(svg).toContain('5 min, 1 points');
});
