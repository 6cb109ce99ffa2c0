import { writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { localIdentity } from '../../../server/access/authority.ts';
import { MqttSource } from '../../../server/source/mqtt/mqtt.ts';
import { brokerAccess, type BrokerAccess } from '../../../shared/api/broker.ts';
import { aedes, mosquitto, writer } from '../../support/brokers.ts';
import { atEnd, listen } from '../../support/endings.ts';
import { scratch } from '../../support/server.ts';
import { Watch } from '../watch.ts';

const TOPIC = 'grill/stone';
const SECRET = 'flour, water, salt';

type Given = Partial<BrokerAccess> & { url: string };
/** A source that is subscribed to the topic, and what it emits. */
function listening(given: Given, topic = TOPIC): { watch: Watch; source: MqttSource } {
  const access = brokerAccess.parse(given);
  const source = new MqttSource({
    broker: { setting: () => ({ access, publish: { prefix: 'peelside' } }), watch: () => {} },
  });
  const watch = new Watch();
  atEnd(() => source.stop());
  source.start(watch);
  source.subscribe([{ source: 'mqtt', topic }]);
  return { watch, source };
}
const isLinked = (watch: Watch) => () => watch.device(TOPIC)?.link === 'connected';

it('given a message that the broker kept, subscribed and then published anew, tells the two apart', async () => {
  const broker = await mosquitto();
  const grill = await writer(broker.url);
  await grill.publish(TOPIC, '199', true);
  const { watch } = listening({ url: broker.url });
  expect(await watch.frameWith({ payload: '199' })).toEqual({
    source: 'mqtt',
    topic: TOPIC,
    payload: '199',
    retained: true,
  });
  await grill.publish(TOPIC, '201', true);
  expect(await watch.frameWith({ payload: '201' })).toEqual({ source: 'mqtt', topic: TOPIC, payload: '201' });
});

it('given a name and password, connected with the right ones, listens; with wrong ones says what to set', async () => {
  const broker = await aedes('peel', SECRET);
  const access = { url: broker.url, version: '3.1.1', username: 'peel' } as const;
  const { watch } = listening({ ...access, password: SECRET });
  await watch.until('it is linked', isLinked(watch));
  await (await writer(broker.url, { username: 'peel', password: SECRET })).publish(TOPIC, '270.5');
  await watch.frameWith({ payload: '270.5' });

  const other = listening({ ...access, password: 'wrong' }).watch;
  await other.until('it is refused', () => other.last?.state === 'failed');
  expect(other.last?.remedy).toMatch(/name and password/);
  expect(JSON.stringify(other.statuses)).not.toContain('wrong');
  expect(other.device(TOPIC)?.link).toBe('lost');
});

it('given TLS by an authority of the house, connected with its certificate, listens; without it refuses', async () => {
  const { authority, certificate, key } = localIdentity(scratch(), Date.now());
  const file = (name: string, text: string): string => {
    const path = join(scratch(), name);
    writeFileSync(path, text);
    return path;
  };
  const files = [`certfile ${file('c.pem', certificate)}`, `keyfile ${file('k.pem', key)}`, 'user root'];
  const broker = await mosquitto(undefined, files);
  const url = broker.url.replace('127.0.0.1', 'localhost');
  const { watch } = listening({ url, ca: authority ?? '' });
  await watch.until('it is linked', isLinked(watch));
  await (await writer(url, { ca: authority ?? '' })).publish(TOPIC, '270.5');
  await watch.frameWith({ payload: '270.5' });

  const untrusted = listening({ url }).watch;
  await untrusted.until('it is not trusted', () => untrusted.last?.state === 'failed');
  expect(untrusted.last?.problem).toMatch(/can't be trusted/);
});

it('given a broker that goes away and comes back, says so at once and listens again by itself', async () => {
  const broker = await mosquitto();
  const { watch } = listening({ url: broker.url });
  await watch.until('it is linked', isLinked(watch));
  await broker.stop();
  await watch.until('it is lost', () => watch.device(TOPIC)?.link === 'lost');
  expect(watch.device(TOPIC)?.problem).toMatch(/broker/);
  await watch.until('nothing is there', () => /No MQTT broker answers/.test(watch.last?.problem ?? ''));
  const again = await mosquitto(broker.port);
  await watch.until('it is linked again', isLinked(watch));
  await (await writer(again.url)).publish(TOPIC, '270.5');
  await watch.frameWith({ payload: '270.5' });
});

it('given a broker that keeps a topic from us, subscribed, says so of that topic and goes on with others', async () => {
  const broker = await aedes('peel', SECRET, (topic) => topic !== TOPIC);
  const access = { username: 'peel', password: SECRET };
  const { watch, source } = listening({ url: broker.url, version: '3.1.1', ...access });
  source.subscribe([
    { source: 'mqtt', topic: TOPIC },
    { source: 'mqtt', topic: 'grill/dome' },
  ]);
  await watch.until('it is refused', () => /does not let/.test(watch.device(TOPIC)?.problem ?? ''));
  expect(watch.device('grill/dome')?.link).toBe('connected');
  await (await writer(broker.url, access)).publish('grill/dome', '240');
  await watch.frameWith({ topic: 'grill/dome' });
});

it('given what is no reading, listened to, names it and hands on what is one', async () => {
  const broker = await mosquitto();
  const { watch } = listening({ url: broker.url });
  await watch.until('it is linked', isLinked(watch));
  const grill = await writer(broker.url);
  await grill.publish(TOPIC, Buffer.from([0xff, 0xfe, 0x00]));
  await watch.until('bytes are told', () => /no text/.test(watch.device(TOPIC)?.problem ?? ''));
  await grill.publish(TOPIC, 'x'.repeat(5000));
  await watch.until('length is told', () => /5000 bytes/.test(watch.device(TOPIC)?.problem ?? ''));
  expect(watch.frames).toEqual([]);
  await grill.publish(TOPIC, '270.5');
  await watch.frameWith({ payload: '270.5' });
  expect(watch.device(TOPIC)?.problem).toBeUndefined();
});

it('given a look at all topics of a busy broker, lists forty of them, and the subscribed topics besides', async () => {
  const broker = await mosquitto();
  const { watch, source } = listening({ url: broker.url });
  source.look({ source: 'mqtt', topic: '#' }, 60);
  await watch.until('it is linked', isLinked(watch));
  const house = await writer(broker.url);
  for (let i = 0; i < 300; i++) await house.publish(`house/${i}`, '20', true);
  await house.publish(TOPIC, '270.5');
  await watch.frameWith({ payload: '270.5' });
  expect(watch.last?.devices.length).toBeLessThanOrEqual(41);
  expect(watch.device('house/7')?.link).toBe('seen');
});

/** MQTT 3.1.1, 3.2 and 3.3: a CONNACK, then a PUBLISH of 200 MB that never ends. */
it('given a broker that sends a message without end, lets go of it', async () => {
  let ended = 0;
  const server = createServer((socket) => {
    socket.on('error', () => {}).on('close', () => (ended += 1));
    socket.once('data', () => {
      socket.write(Buffer.from([0x20, 2, 0, 0]));
      socket.write(Buffer.from([0x30, 0x80, 0x80, 0xaf, 0x5f, 0, 1, 0x61]));
      const flood = setInterval(() => socket.write(Buffer.alloc(65_536)), 1);
      socket.on('close', () => clearInterval(flood));
    });
  });
  const port = await listen(server);
  const { watch } = listening({ url: `mqtt://127.0.0.1:${port}`, version: '3.1.1' });
  await watch.until('it is let go', () => /more than 256 kB/.test(watch.last?.problem ?? ''));
  await watch.until('it has ended', () => ended > 0);
});

/** MQTT 3.1.1, 3.2 and 3.3: a CONNACK, and once it is subscribed to 12,000 messages at once. */
it('given a broker that floods, lets go of it after five thousand messages and says so', async () => {
  const packet = Buffer.concat([
    Buffer.from([0x30, 2 + TOPIC.length + 3, 0, TOPIC.length]),
    Buffer.from(`${TOPIC}270`),
  ]);
  const flood = Buffer.concat(Array.from({ length: 12_000 }, () => packet));
  const server = createServer((socket) => {
    socket.on('error', () => {});
    socket.once('data', () => {
      socket.write(Buffer.from([0x20, 2, 0, 0]));
      socket.once('data', () => socket.write(flood));
    });
  });
  const port = await listen(server);
  const { watch } = listening({ url: `mqtt://127.0.0.1:${port}`, version: '3.1.1' });
  await watch.until('it is let go', () => /sends too much/.test(watch.last?.problem ?? ''));
  expect(watch.frames).toHaveLength(5000);
});
