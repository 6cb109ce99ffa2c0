import { describe, expect, it } from 'vitest';
import { call, scratch, startServer, until } from '../support/server.ts';

type Stored = { channel: string; at: string; celsius: number };
const readingsOf = async (url: string): Promise<Stored[]> =>
  (await call(url, 'GET', '/api/cooks/1/readings')).body['readings'] as Stored[];

describe('kill -9 in the middle of a cook', () => {
  it('loses nothing that was acknowledged, and the timers go on', async () => {
    const data = scratch();
    const acknowledged: string[] = [];
    let server = await startServer([], data);
    await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 265 }] });
    await call(server.url, 'POST', '/api/pizzas', { name: 'First', turnAfter: 60, offAfter: 120 });
    for (let round = 0; round < 3; round++) {
      if (round === 1) await call(server.url, 'POST', '/api/events', { event: 'launch' });
      const before = (await call(server.url, 'GET', '/api/now')).body;
      const answered = acknowledged.length;
      const posts = Promise.all(
        Array.from({ length: 40 }, async (_, i) => {
          const at = new Date(Date.now() - 1000 + i).toISOString();
          const celsius = 260 + round + i / 100;
          const answer = await call(server.url, 'POST', '/api/readings', {
            readings: [{ channel: 'stone', celsius, at }],
          }).catch(() => null);
          if (answer?.status === 202) acknowledged.push(`${at} ${celsius}`);
        }),
      );
      // Somewhere in the middle: some are answered, some are on their way.
      await until(
        () => Promise.resolve(acknowledged.length),
        (n) => n >= answered + 4,
      );
      await server.stop('SIGKILL');
      await posts;
      server = await startServer([], data);
      const now = (await call(server.url, 'GET', '/api/now')).body;
      expect(now['cook']).toEqual(before['cook']);
      expect(now['pizzas']).toEqual(before['pizzas']);
      expect(now['onStone']).toEqual(before['onStone']);
      expect(now['t'] as number).toBeGreaterThan(before['t'] as number);
    }
    const kept = (await readingsOf(server.url)).map((r) => `${r.at} ${r.celsius}`);
    expect(acknowledged.length).toBeGreaterThan(8);
    expect(acknowledged.filter((one) => !kept.includes(one))).toEqual([]);
    const now = (await call(server.url, 'GET', '/api/now')).body;
    expect(now['onStone']).toMatchObject([{ pizza: 'p1' }]);
    await server.stop();
  });
});
