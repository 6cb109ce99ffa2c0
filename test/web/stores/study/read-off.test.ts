import { expect, it } from 'vitest';
import type { CookDetail } from '../../../../shared/api/api.ts';
import { atLaunch, estimateAt, readAt } from '../../../../web/stores/study/read-off.ts';

const run = [
  { pizza: { launchedAt: null }, review: { stoneAtLaunch: null } },
  { pizza: { launchedAt: 1000 }, review: { stoneAtLaunch: 276.9 } },
  { pizza: { launchedAt: 2000 }, review: { stoneAtLaunch: null } },
] as unknown as CookDetail['run'];
const points = Array.from({ length: 61 }, (_, i) => ({
  channel: 'stone',
  t: 900 + 2 * i,
  celsius: 275 + i / 25 - 5 * Math.max(0, i - 46),
  quality: 'good' as const,
}));

it('given the moment of a launch, reads off the stone before the touch and its rate then, not the fallen reading', () => {
  const read = atLaunch(run, 1001, points, 'stone');
  expect(read?.celsius).toBe(276.9);
  expect(read?.perMinute).toBeGreaterThan(0);
  expect(readAt(points, 'stone', 1001).celsius).toBeLessThan(260);
});

it('given any other moment, or a launch whose stone is not known, leaves it to the readings', () => {
  expect(atLaunch(run, 1003, points, 'stone')).toBeNull();
  expect(atLaunch(run, 2000, points, 'stone')).toBeNull();
});

it('given a stone that was only looked at, reads its estimate with its error and rate, and nothing across a gap', () => {
  const estimates: [number, number, number][] = [
    [100, 200, 4],
    [130, 203, 4],
    [160, 206, 6],
    [400, 250, 3],
  ];
  expect(estimateAt(estimates, 130)).toEqual({ celsius: 203, error: 4, perMinute: null });
  expect(estimateAt(estimates, 145)).toMatchObject({ celsius: 204.5, error: 5 });
  expect(estimateAt(estimates, 160)).toEqual({ celsius: 206, error: 6, perMinute: 6 });
  expect(estimateAt(estimates, 300)).toBeNull();
  expect(estimateAt(estimates, 410)?.celsius).toBe(250);
  expect(estimateAt(estimates, 500)).toBeNull();
  expect(estimateAt([], 100)).toBeNull();
});
