import { expect, it } from 'vitest';
import { drawnAt, emptySeries, merge } from '../../../../../web/stores/derive/curve/series.ts';

const series = merge(
  emptySeries(),
  [0, 30, 60].map((t) => ({ channel: 'stone', t, celsius: 200 + t, quality: 'good' as const })),
);

it('given a tap on the ribbon, reads off what was measured nearest to it', () => {
  expect(drawnAt(series, 'stone', 44)).toBe(230);
  expect(drawnAt(series, 'stone', 46)).toBe(260);
});

it('given a moment or a channel with nothing near, reads off nothing', () => {
  expect(drawnAt(series, 'stone', 200)).toBeNull();
  expect(drawnAt(series, 'dome', 30)).toBeNull();
});
