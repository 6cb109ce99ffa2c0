import { expect, it } from 'vitest';
import type { CookDetail } from '../../../../shared/api/api.ts';
import { atLaunch, readAt } from '../../../../web/stores/study/read-off.ts';

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
