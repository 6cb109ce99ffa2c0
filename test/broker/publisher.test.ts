import { createServer } from 'node:net';
import mqtt from 'mqtt';
import { expect, it } from 'vitest';
import { mosquitto } from '../support/brokers.ts';
import { listen, repeat } from '../support/endings.ts';
import { call, startServer, until, type Server } from '../support/server.ts';

/** What a broker retains of all topics, as a new subscriber receives it. */
async function retainedBy(url: string): Promise<Record<string, unknown>> {
  const retained: Record<string, unknown> = {};
  const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
  client.on('message', (topic, payload, { retain }) => {
    if (retain) retained[topic] = JSON.parse(payload.toString());
  });
  await client.subscribeAsync('#', { qos: 1 });
  await client.publishAsync('asked', 'x', { qos: 1 });
  await client.endAsync();
  return retained;
}
const has = (url: string, topic: string, part: Record<string, unknown>): Promise<unknown> =>
  until(
    async () => (await retainedBy(url))[topic],
    (message) => {
      const of = (message ?? {}) as Record<string, unknown>; // JSON of ours
      return Object.entries(part).every(([key, value]) => of[key] === value);
    },
  );

async function publishing(url: string, prefix: string): Promise<Server> {
  const server = await startServer();
  await call(server.url, 'PATCH', '/api/broker', { access: { url }, publish: { prefix } });
  await has(url, `${prefix}/status`, { status: 'here' });
  return server;
}
const post = (server: Server, channel: string, celsius: number) =>
  call(server.url, 'POST', '/api/readings', { readings: [{ channel, celsius }] });

it('given two servers and one broker, the one’s stone is the other’s probe until the first is gone', async () => {
  const { url } = await mosquitto();
  const garden = await publishing(url, 'garden');
  const kitchen = await publishing(url, 'kitchen');
  await post(garden, 'stone', 263.5);
  await has(url, 'garden/reading/stone', { celsius: 263.5, quality: 'good' });

  const address = { source: 'mqtt', topic: 'garden/reading/stone', part: '/celsius' };
  await call(kitchen.url, 'POST', '/api/probes', { channel: 'stone', address });
  type Channels = {
    channels: { id: string; celsius: number | null; source: string | null; quality: string }[];
  };
  const stone = async () =>
    ((await call(kitchen.url, 'GET', '/api/now')).body as Channels).channels.find(
      (channel) => channel.id === 'stone',
    );
  // What the broker had is nothing; what is measured from here on is.
  await expect
    .poll(async () => JSON.stringify((await call(kitchen.url, 'GET', '/api/reach')).body['devices']))
    .toContain('kept by the broker');
  expect(await stone()).toBeUndefined();
  const stopMeasuring = repeat(500, () => post(garden, 'stone', 264.5));
  await until(stone, (channel) => channel?.celsius === 264.5 && channel.source === 'mqtt');
  await has(url, 'kitchen/reading/stone', { celsius: 264.5 });
  stopMeasuring();
  // It falls silent in the garden: no value any more, here as there.
  await until(stone, (channel) => channel?.quality === 'bad');

  await garden.stop('SIGKILL');
  await has(url, 'garden/status', { status: 'gone' });
  await kitchen.stop();
  await has(url, 'kitchen/status', { status: 'gone' });
});

it('given a cook that ended, and readings that an earlier run left behind, takes both back from the broker', async () => {
  const { url } = await mosquitto();
  const old = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
  await old.publishAsync('garden/reading/firebox', '{"celsius":500}', { qos: 1, retain: true });
  await old.endAsync();
  const server = await publishing(url, 'garden');
  await post(server, 'stone', 263.5);
  await has(url, 'garden/reading/stone', { celsius: 263.5 });
  const { cook } = (await call(server.url, 'GET', '/api/now')).body as { cook: { id: number } };
  expect((await call(server.url, 'PATCH', `/api/cooks/${cook.id}`, { ended: true })).status).toBeLessThan(
    300,
  );
  await until(
    () => retainedBy(url),
    (retained) => !Object.keys(retained).some((topic) => topic.includes('/reading/')),
  );
  expect(await retainedBy(url)).toMatchObject({
    'garden/state': { cook: null },
    'garden/status': { status: 'here' },
  });
});

it('given its own topic as a probe, refuses it, so that nothing goes round', async () => {
  const { url } = await mosquitto();
  const server = await publishing(url, 'garden');
  const address = { source: 'mqtt', topic: 'garden/reading/stone', part: '/celsius' };
  await call(server.url, 'POST', '/api/probes', { channel: 'stone', address });
  await post(server, 'dome', 240);
  await expect
    .poll(async () => JSON.stringify((await call(server.url, 'POST', '/api/reach', {})).body['devices']))
    .toContain('what peelside itself publishes');
});

it('given a broker that is away, goes on without it, says so, and publishes when it is back', async () => {
  const broker = await mosquitto();
  const server = await publishing(broker.url, 'garden');
  await broker.stop();
  const publishError = async (): Promise<string | null> =>
    ((await call(server.url, 'GET', '/api/broker')).body as { publish: { error: string | null } }).publish
      .error;
  await expect.poll(publishError).not.toBe(null);
  await post(server, 'stone', 263.5);
  const again = await mosquitto(broker.port);
  await has(again.url, 'garden/status', { status: 'here' });
  // What the broker has, the server hears of a moment later.
  await expect.poll(publishError).toBeNull();
});

/** MQTT 3.1.1, 3.2: a CONNACK, and never a PUBACK. */
it('given a broker that takes nothing, stopped, does not wait for it', async () => {
  let received = 0;
  const deaf = createServer((socket) => {
    socket.on('error', () => {});
    socket.once('data', () => socket.write(Buffer.from([0x20, 2, 0, 0])));
    socket.on('data', () => (received += 1));
  });
  const server = await startServer();
  const port = await listen(deaf);
  const access = { url: `mqtt://127.0.0.1:${port}`, version: '3.1.1' };
  await call(server.url, 'PATCH', '/api/broker', { access, publish: { prefix: 'garden' } });
  await expect.poll(() => Promise.resolve(received)).toBeGreaterThan(1);
  // It would wait for good.
  await server.stop();
});
