import { createRequire } from 'node:module';
import { Ajv } from 'ajv';
import addFormats from 'ajv-formats';
import { beforeAll, expect, it } from 'vitest';
import { messagesOf } from '../../../server/broker/published-messages.ts';
import { createLive } from '../../../server/hub/broadcast.ts';
import { openLan, type Lan } from '../../support/lan.ts';
import { openSession } from '../../support/session.ts';

/** AsyncAPI 3.0.0's own JSON schema, as its authors publish it. */
const official = createRequire(import.meta.url)('@asyncapi/specs/schemas/3.0.0-without-$id.json') as object;

type Message = { payload: object };
type Document = {
  asyncapi: string;
  channels: Record<string, { address: string }>;
  components: { messages: Record<string, Message> };
};
let lan: Lan;
let document: Document;
beforeAll(async () => {
  lan = await openLan();
  const answer = await lan.app.inject({ url: '/api/asyncapi.json', headers: { host: 'localhost' } });
  expect(answer.statusCode).toBe(200);
  document = answer.json<Document>();
});

function ajv(): Ajv {
  const it = new Ajv({ strict: false, validateFormats: true });
  addFormats.default(it);
  return it;
}
/** @returns why the message is not as it is described */
function wrong(name: string, message: unknown): unknown {
  const validate = ajv().compile(document.components.messages[name]?.payload ?? false);
  return validate(message) ? null : validate.errors;
}

it('given the description, held against the published schema of AsyncAPI 3.0.0, is one; with a mistake in it is none', () => {
  const validate = ajv().compile(official);
  expect(validate(document), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
  expect(validate({ ...document, channels: { live: { address: 7 } } })).toBe(false);
  expect(validate({ ...document, operations: { live: { action: 'shout' } } })).toBe(false);
});

it('given the description, its references followed, all lead somewhere', () => {
  const refs = [...JSON.stringify(document).matchAll(/"\$ref":"#\/([^"]+)"/g)].map((match) => match[1] ?? '');
  expect(refs.length).toBeGreaterThan(20);
  const lost = refs.filter((path) => {
    let at: unknown = document;
    for (const key of path.split('/')) {
      at = (at as Record<string, unknown> | undefined)?.[key];
      const { $ref } = (at ?? {}) as { $ref?: string };
      if ($ref !== undefined)
        at = $ref
          .slice(2)
          .split('/')
          .reduce((o, k) => (o as Record<string, unknown>)[k], document as unknown);
    }
    return at === undefined;
  });
  expect(lost).toEqual([]);
});

it('given a cook, what the live line and the broker are sent is as it is described', async () => {
  const { session, clock, ingest } = openSession();
  const sent: { type: string }[] = [];
  const live = createLive();
  live.publish(session);
  live.join(
    { send: (text) => sent.push(JSON.parse(text) as never), buffered: () => 0, close: () => {} },
    null,
  );
  for (let i = 0; i < 60; i++) {
    clock.at += 2000;
    await ingest.postReadings([
      { channel: 'stone', celsius: 200 + i },
      { channel: 'dome', celsius: 220 + i },
    ]);
  }
  live.publish(session, [['stone', 120, 259, 'good']]);
  live.join(
    { send: (text) => sent.push(JSON.parse(text) as never), buffered: () => 0, close: () => {} },
    null,
  );
  live.heartbeat();
  live.close();
  expect(new Set(sent.map(({ type }) => type))).toEqual(new Set(['snapshot', 'change', 'heartbeat']));
  for (const message of sent) expect(wrong(message.type, message), message.type).toBeNull();

  const published = messagesOf(session.now());
  expect(published.size).toBeGreaterThan(3);
  for (const [topic, text] of published)
    expect(wrong(topic.replace(/\/.*/, ''), JSON.parse(text)), topic).toBeNull();
  expect(wrong('status', { status: 'gone' })).toBeNull();
  expect(wrong('status', { status: 'asleep' })).not.toBeNull();
});
