import { expect, test } from 'vitest';
import { figures, median, quantile, table } from './report.ts';
import { scoreCook } from './score.ts';
import type { ScoredTruth } from './truth.ts';

test('the lower median and the quantile of small sets', () => {
  expect(median([])).toBeNull();
  expect(median([4, 1, 3])).toBe(3);
  expect(median([4, 1, 3, 2])).toBe(2);
  expect(quantile([10, 20, 30, 40, 50, 60, 70, 80, 90, 100], 0.9)).toBe(100);
  expect(quantile([5], 0.9)).toBe(5);
});

const stone = Array.from({ length: 3600 }, () => 260);
const truth: ScoredTruth = {
  name: 'flat',
  kind: 'careful',
  stoneBand: [250, 280],
  duration: 3600,
  actions: [{ t: 500, do: 'launch' }],
  stone,
  onStone: stone.map(() => false),
};

test('figures are sums over cooks, and nothing judged is a dash, never 0 or NaN', () => {
  const alert = (t: number) => ({ t, type: 'alert', alert: 'stone-ready' }) as const;
  const scores = [scoreCook(truth, [alert(130), alert(10)]), scoreCook(truth, [])];
  const of = (what: string): number | null | undefined =>
    figures(scores).find((figure) => figure.what === what)?.value;
  expect(of('hours')).toBe(2);
  // a flat stone is steady from its 120th second on
  expect(of('ready: onsets')).toBe(2);
  expect(of('ready: found')).toBe(0.5);
  expect(of('ready: false an hour')).toBe(0.5);
  expect(of('ready: delay median, s')).toBe(10);
  expect(of('alerts an hour')).toBe(1);
  expect(of('launch recall')).toBe(0);
  expect(of('launch precision')).toBeNull();
  expect(of('overshoot: warned')).toBeNull();
  expect(table([{ head: 'engine', figures: figures(scores) }])).toMatch(/launch precision +–/);
});
