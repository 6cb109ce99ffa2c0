import { describe, expect, it } from 'vitest';
import { LONGEST_STILL, call, startServer } from '../support/server.ts';

/** Hours of a cook of two channels, a reading a second each, as a recording. */
function* recording(seconds: number): Generator<string> {
  yield JSON.stringify({
    recording: 1,
    startedAt: '2026-05-02T16:00:00Z',
    channels: [
      { id: 'stone', role: 'stone' },
      { id: 'dome', role: 'dome' },
    ],
  });
  for (let t = 0; t < seconds; t++)
    for (const channel of ['stone', 'dome'])
      yield `{"t":${t},"channel":"${channel}","celsius":${20 + (t % 250)}}`;
}

describe('the event loop of a server', () => {
  it(
    'never stands still for long, whatever is brought in, posted, read or taken out',
    { timeout: 240_000 },
    async () => {
      const server = await startServer();
      const step = async (what: string, work: () => Promise<{ status: number }>, wanted: number) => {
        const { status } = await work();
        const { computedMs, scaledMs, stoodMs } = await server.loop();
        console.log(`${what}: computed ${computedMs.toFixed(0)} ms, stood ${stoodMs.toFixed(0)} ms at most`);
        expect([what, status]).toEqual([what, wanted]);
        expect.soft(scaledMs, what).toBeLessThanOrEqual(LONGEST_STILL);
      };
      const ask = (method: string, path: string, body?: unknown) => () =>
        call(server.url, method, path, body);
      await step('bringing in 3 hours', ask('POST', '/api/import', [...recording(3 * 3600)].join('\n')), 201);
      await step(
        '2 MB of blank lines',
        ask('POST', '/api/import', [...recording(1)].join('\n') + '\n'.repeat(2e6)),
        201,
      );
      await step(
        '4 MB of bad lines',
        ask('POST', '/api/import', [...recording(1)].join('\n') + '\nx'.repeat(2e6)),
        400,
      );
      const open = 'kind,t,at,channel,celsius,quality,event,note,line\r\nheader,,,,,,,,"';
      await step('a quote that never closes', ask('POST', '/api/import', open + 'x\n'.repeat(5e5)), 400);
      const readings = Array.from({ length: 10_000 }, (_, i) => ({
        channel: i % 2 ? 'stone' : 'dome',
        celsius: 200,
      }));
      await step('10,000 readings in one post', ask('POST', '/api/readings', { readings }), 202);
      await step('all readings', ask('GET', '/api/cooks/1/readings'), 200);
      await step('thinned readings', ask('GET', '/api/cooks/1/readings?points=600'), 200);
      for (const format of ['jsonl', 'csv'])
        await step(`an export as ${format}`, ask('GET', `/api/cooks/1/export?format=${format}`), 200);
      await step('the list of cooks', ask('GET', '/api/cooks'), 200);
      await step('a summary', ask('GET', '/api/cooks/1/summary'), 200);
      await step('the trends', ask('GET', '/api/trends'), 200);
      await server.stop();
    },
  );
});
