import { createHmac } from 'node:crypto';
import { createServer, type IncomingHttpHeaders } from 'node:http';
import mqtt from 'mqtt';
import { describe, expect, it } from 'vitest';
import { Escalator, type EscalatorParts } from '../../server/escalate/escalator.ts';
import { sendMqtt } from '../../server/escalate/send-mqtt.ts';
import { sendWebhook } from '../../server/escalate/send-webhook.ts';
import { broker as brokerSchema, escalated, type Escalated } from '../../shared/api/escalation.ts';
import { aedes, mosquitto } from '../support/brokers.ts';
import { scratch } from '../support/server.ts';
import { atEnd, listen } from '../support/endings.ts';
import { storeIn } from '../support/session.ts';

const SECRET = 'a secret of some length';
const notice: Escalated = {
  id: '7-dome-too-hot-100000',
  alert: 'dome-too-hot',
  message: 'Dome 391 °C: close the vents.',
  reason: 'no-page',
  cook: { id: 7, name: 'Saturday' },
  pizza: null,
  raisedAt: '2026-06-01T17:01:40.000Z',
};

type Hook = { url: string; got: { headers: IncomingHttpHeaders; body: string }[]; status: number };
async function hook(): Promise<Hook> {
  const it: Hook = { url: '', got: [], status: 200 };
  const server = createServer((request, reply) => {
    let body = '';
    request.on('data', (chunk: Buffer) => (body += chunk.toString()));
    request.on('end', () => {
      it.got.push({ headers: request.headers, body });
      if (it.status === 302) reply.setHeader('location', it.url);
      reply.writeHead(it.status).end();
    });
  });
  it.url = `http://127.0.0.1:${await listen(server)}/hook`;
  return it;
}

describe('the webhook', () => {
  it('posts JSON, signed by HMAC-SHA256 over the bytes of the body', async () => {
    const it = await hook();
    await sendWebhook({ url: it.url, secret: SECRET }, notice);
    const [request] = it.got;
    expect(escalated.parse(JSON.parse(request?.body ?? ''))).toEqual(notice);
    const mac = createHmac('sha256', SECRET)
      .update(Buffer.from(request?.body ?? '', 'utf8'))
      .digest('hex');
    expect(request?.headers['x-peelside-signature']).toBe(`sha256=${mac}`);
    expect(request?.headers['x-peelside-id']).toBe(notice.id);
  });

  it.each([500, 302])('says why a %d is no success, and follows nowhere', async (status) => {
    const it = await hook();
    it.status = status;
    await expect(sendWebhook({ url: it.url, secret: SECRET }, notice)).rejects.toThrow(/answered|reached/);
    expect(it.got).toHaveLength(1);
  });

  it('says so when nobody is there', async () => {
    const gone = sendWebhook({ url: 'http://127.0.0.1:9/', secret: SECRET }, notice);
    await expect(gone).rejects.toThrow(/can't be reached/);
  });
});

const startAedes = async (): Promise<string> => (await aedes('peel', SECRET)).url;
const startMosquitto = async (): Promise<string> => (await mosquitto()).url;

describe.each([
  ['3.1.1', 4, startAedes],
  ['3.1.1', 4, startMosquitto],
  ['5', 5, startMosquitto],
] as const)('MQTT %s (protocol level %d)', (version, protocolVersion, start) => {
  it(`publishes at least once to a real broker: ${start.name}`, async () => {
    const url = await start();
    const access = { username: 'peel', password: SECRET };
    const reader = await mqtt.connectAsync(url, { ...access, protocolVersion });
    atEnd(() => reader.endAsync());
    await reader.subscribeAsync('kitchen/peelside', { qos: 1 });
    const message = new Promise<[string, Buffer, mqtt.IPublishPacket]>((resolve) =>
      reader.once('message', (...all) => resolve(all)),
    );
    await sendMqtt({ url, topic: 'kitchen/peelside', version, ...access }, notice);
    const [topic, payload, packet] = await message;
    expect(topic).toBe('kitchen/peelside');
    expect(packet.qos).toBe(1);
    expect(JSON.parse(payload.toString())).toEqual(notice);
    expect(packet.properties?.contentType).toBe(version === '5' ? 'application/json' : undefined);
  });
});

it('says so when the broker refuses, without the password', async () => {
  const url = await startAedes();
  const refused = sendMqtt(
    { url, topic: 'a', version: '3.1.1', username: 'peel', password: 'wrong-password' },
    notice,
  );
  await expect(refused).rejects.toThrow(/refused/i);
  await refused.catch((error: Error) => expect(error.message).not.toMatch(/wrong-password/));
});

describe('the escalator', () => {
  const begin = (more: Partial<EscalatorParts> = {}) => {
    const store = storeIn(scratch());
    const now = { t: 115, cook: null, alerts: [], lidHazard: null };
    return {
      store,
      parts: {
        store,
        document: { now: () => now },
        pages: { listeners: () => 0 },
        clock: { wall: () => 0 },
        sendWebhook,
        sendMqtt,
        announceHere: () => {},
        ...more,
      },
    };
  };

  it('is off until it is set, gives no secret away, and keeps one that is not said again', async () => {
    const { store, parts } = begin();
    const escalator = new Escalator(parts);
    expect(escalator.view()).toEqual({ afterSeconds: 60, webhook: null, mqtt: null });
    const hooked = await hook();
    await expect(escalator.patch({ webhook: { url: hooked.url } })).rejects.toThrow(/secret/);
    await escalator.patch({ webhook: { url: hooked.url, secret: SECRET }, afterSeconds: 30 });
    await escalator.patch({ webhook: { url: `${hooked.url}/elsewhere` } });
    const view = await new Escalator({ ...parts, store }).test();
    expect(view.webhook).toEqual({ origin: new URL(hooked.url).origin, error: null });
    expect(JSON.stringify(view)).not.toContain(SECRET);
    expect(hooked.got).toHaveLength(1);
    hooked.status = 503;
    expect((await escalator.test()).webhook?.error).toBe('it answered 503');
    expect((await escalator.patch({ webhook: null })).webhook).toBeNull();
  });

  it('does not take a password to another broker', async () => {
    const sent: unknown[] = [];
    const { parts } = begin({ sendMqtt: (to) => Promise.resolve(void sent.push(to)) });
    const escalator = new Escalator(parts);
    const mine = brokerSchema.parse({ url: 'mqtt://one.example', username: 'peel', password: SECRET });
    await escalator.patch({ mqtt: mine });
    await escalator.patch({ mqtt: brokerSchema.parse({ url: 'mqtt://one.example', topic: 'other' }) });
    await escalator.test();
    await escalator.patch({ mqtt: brokerSchema.parse({ url: 'mqtt://two.example' }) });
    await escalator.test();
    expect(sent).toMatchObject([{ topic: 'other', password: SECRET }, { url: 'mqtt://two.example' }]);
    expect(sent[1]).not.toHaveProperty('password');
  });
});
