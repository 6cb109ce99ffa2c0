import { readFileSync } from 'node:fs';
import { beforeEach, expect, it } from 'vitest';
import { openApi, type Api } from '../../support/api.ts';
import { STONE_AND_DOME } from '../../support/header.ts';

let api: Api;
beforeEach(async () => {
  api = await openApi();
});

const fixture = (name: string): string =>
  readFileSync(new URL(`../../../fixtures/${name}`, import.meta.url), 'utf8');

type Stored = { t: number; channel: string; celsius: number };

async function bringIn(recording: string): Promise<number> {
  return Number((await api.ask('POST', '/api/import', recording)).body['id']);
}
const readingsOf = async (cook: number, points: number): Promise<Stored[]> =>
  (await api.ask('GET', `/api/cooks/${cook}/readings?points=${points}`)).body['readings'] as Stored[];

async function estimatesOf(cook: number): Promise<[number, number, number][]> {
  const answer = await api.ask('GET', `/api/cooks/${cook}/estimates`);
  expect(answer.status).toBe(200);
  return answer.body['estimates'] as [number, number, number][];
}

/** The dome as it was measured, and the stone as somebody looked at it every five minutes. */
function lookedAt(readings: readonly Stored[]): string {
  const header = {
    recording: 1,
    startedAt: '2026-05-16T15:30:00.000Z',
    channels: STONE_AND_DOME,
  };
  let last = -Infinity;
  const lines = readings.flatMap(({ t, channel, celsius }) => {
    if (channel === 'dome') return [{ t, source: 'http', channel, celsius }];
    if (channel !== 'stone' || t - last < 300) return [];
    last = t;
    return [{ t, source: 'spot', channel, celsius }];
  });
  return [header, ...lines].map((line) => JSON.stringify(line)).join('\n');
}

it('given a stone that was looked at, has what it was between the looks, and how well that was known', async () => {
  const measured = await readingsOf(await bringIn(fixture('good-evening.jsonl')), 800);
  const stone = measured.filter(({ channel }) => channel === 'stone');
  const estimates = await estimatesOf(await bringIn(lookedAt(measured)));
  expect(estimates.length).toBeGreaterThan(100);
  const misses = estimates
    // Before the first launch, which nobody reported here.
    .filter(([t]) => t > 900 && t < 2400)
    .map(([t, celsius]) => {
      const near = stone.reduce((a, b) => (Math.abs(b.t - t) < Math.abs(a.t - t) ? b : a));
      return Math.abs(near.celsius - celsius);
    })
    .sort((a, b) => a - b);
  // How well the engine estimates is measured elsewhere: this is of what is passed on.
  expect(misses[Math.floor(misses.length / 2)]).toBeLessThan(6);
  for (const [, , error] of estimates) expect(error).toBeGreaterThan(0);
});

it('given a stone with a probe, has no estimates', async () => {
  expect(await estimatesOf(await bringIn(fixture('good-evening.jsonl')))).toEqual([]);
});

it('given no such cook, says so', async () => {
  expect((await api.ask('GET', '/api/cooks/99/estimates')).status).toBe(404);
});
