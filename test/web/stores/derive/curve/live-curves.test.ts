import { afterEach, expect, it, vi } from 'vitest';
import { curves, pastMissing, startCurves } from '../../../../../web/stores/derive/curve/live-curves.ts';

afterEach(() => vi.unstubAllGlobals());

const answer = (status: number, body: unknown): unknown =>
  vi.stubGlobal('fetch', () =>
    Promise.resolve(
      new Response(JSON.stringify(body), { status, headers: { 'content-type': 'application/json' } }),
    ),
  );

it('a past that has come makes another series, by which it is drawn at once', async () => {
  answer(200, {
    readings: [1, 2].map((t) => ({ channel: 'stone', t, celsius: 20 + t, quality: 'good', at: '' })),
  });
  const coming = startCurves(1);
  const before = curves.value.series;
  await coming;
  expect(curves.value.series).not.toBe(before);
  expect(curves.value.series.good).toEqual({ stone: [21, 22] });
  expect(pastMissing.value).toBe(false);
});

it('a past that does not come is told', async () => {
  answer(503, { title: 'Service Unavailable', status: 503, detail: 'It is not to be had.' });
  await startCurves(1);
  expect(pastMissing.value).toBe(true);
});
