import { expect, it } from 'vitest';
import { LONGEST_COOK, MAX_EVENTS } from '../../../server/cook/live/cook-limits.ts';
import { exportCook } from '../../../server/cook/portable/cook-export.ts';
import { checkLine } from '../../../server/core/read-line.ts';
import { openApi } from '../../support/api.ts';

const post = { readings: [{ channel: 'stone', celsius: 200 }] };

it('given a cook that nobody ends, a week gone by, is ended, and the next reading begins another', async () => {
  const api = await openApi();
  await api.ask('POST', '/api/readings', post);
  api.clock.at = (LONGEST_COOK - 1) * 1000;
  api.session.advance();
  await api.ask('POST', '/api/readings', post);
  expect(api.session.cook?.id).toBe(1);
  api.clock.at = (LONGEST_COOK + 1) * 1000;
  api.session.advance();
  expect(api.session.cook).toBeNull();
  api.ingest.frame({ source: 'http', channel: 'stone', celsius: 200 });
  expect(api.session.cook?.id).toBe(2);
  // What was kept of the first can be read back.
  const lines = [...exportCook(api.store, 1, 'jsonl')].slice(1);
  expect(lines.length).toBeGreaterThan(1);
  for (const line of lines)
    expect(() => checkLine(JSON.parse(line) as Record<string, unknown>)).not.toThrow();
});

it('given a cook that has as many events as there is room for, told another, refuses it in words and undoes one', async () => {
  const api = await openApi();
  await api.ask('POST', '/api/readings', post);
  let last = '';
  for (let i = 0; i < MAX_EVENTS; i++) last = api.session.record({ event: 'note', note: String(i) }).id;
  const refused = await api.ask('POST', '/api/events', { event: 'note', note: 'one more' });
  expect(refused.status).toBe(409);
  expect(refused.body['detail']).toMatch(/room for 2000 events/);
  const probe = { channel: 'dome', address: { source: 'mqtt', topic: 'grill/dome' } };
  expect((await api.ask('POST', '/api/probes', probe)).status).toBe(409);
  expect((await api.ask('GET', '/api/reach')).body['probes']).toEqual([]);
  expect((await api.ask('POST', '/api/events', { event: 'undo', of: last })).status).toBeLessThan(300);
  await api.works();
});
