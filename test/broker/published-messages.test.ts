import { expect, it } from 'vitest';
import { messagesOf } from '../../server/broker/published-messages.ts';
import { PUBLISHED } from '../../shared/api/publish.ts';
import { openSession } from '../support/session.ts';

/** Schema of a topic below the prefix. */
const schemaOf = (topic: string) =>
  PUBLISHED[topic.startsWith('reading/') ? 'reading/{channel}' : (topic as keyof typeof PUBLISHED)].schema;

async function onCook() {
  const bench = openSession();
  const post = async (channel: string, celsius: number): Promise<void> => {
    bench.clock.at += 1000;
    await bench.ingest.postReadings([{ channel, celsius }]);
  };
  for (let i = 0; i < 90; i++) {
    await post('stone', 200 + i);
    await post('dome', 240 + i);
  }
  return { ...bench, post };
}

it('given a cook, made into messages, each fits the schema by which it is described', async () => {
  const { session } = await onCook();
  const messages = messagesOf(session.now());
  expect([...messages.keys()].sort()).toEqual(
    ['alerts', 'forecast', 'reading/dome', 'reading/stone', 'state'].sort(),
  );
  for (const [topic, text] of messages)
    expect(schemaOf(topic).strict().safeParse(JSON.parse(text)).error, topic).toBeUndefined();
  expect(JSON.parse(messages.get('reading/stone') ?? '')).toMatchObject({
    celsius: 289,
    quality: 'good',
    at: '2026-06-01T17:02:59.000Z',
  });
});

it('given readings that stay away, made into messages, is a value no more', async () => {
  const { session, clock, post } = await onCook();
  clock.at += 60_000;
  await post('dome', 300);
  const stone: unknown = JSON.parse(messagesOf(session.now()).get('reading/stone') ?? '');
  expect(stone).toMatchObject({ celsius: null, quality: 'bad', at: '2026-06-01T17:02:59.000Z' });
});

it('given a rehearsal, made into messages, is as if there were no cook', async () => {
  const { session } = openSession();
  await session.rehearse('good-evening', 20);
  const rehearsed = [...messagesOf(session.now())];
  session.leaveRehearsal();
  expect(rehearsed).toEqual([...messagesOf(session.now())]);
  expect(rehearsed.map(([topic]) => topic)).toEqual(['state', 'alerts']);
});

it('given a channel whose name no topic may have, made into messages, is one level of a topic all the same', () => {
  const { session } = openSession();
  const document = { ...session.now(), cook: { ...cook } };
  const [topic] = [...messagesOf({ ...document, channels: [{ ...channel, id: 'a/#+\0é' }] }).keys()];
  expect(topic).toMatch(/^reading\/[^/#+\0]+$/);
});

const cook = {
  id: 1,
  name: 'Saturday',
  startedAt: '2026-06-01T17:00:00.000Z',
  endedAt: null,
  rehearsal: false,
  targets: { stone: [255, 285] as [number, number], domeLimit: null },
};
const channel = {
  id: 'stone',
  role: 'stone' as const,
  name: 'Stone',
  celsius: 270,
  quality: 'good' as const,
  age: 1,
  at: null,
  every: 1,
  staleAfter: 6,
  stale: false,
  estimate: null,
  error: null,
  perMinute: null,
  perMinuteError: null,
  isEstimate: false,
  band: null,
  source: null,
};
