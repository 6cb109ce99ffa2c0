import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { BleSource } from '../../server/source/ble/ble.ts';
import { MqttSource } from '../../server/source/mqtt/mqtt.ts';
import { SerialSource } from '../../server/source/serial/serial.ts';
import type { Source, Device, FrameBody, SourceEvents } from '../../server/source/source.ts';
import { brokerAccess } from '../../shared/api/broker.ts';
import { bleLine, mqttLine, serialLine } from '../../shared/recording.ts';
import type { Subscription } from '../../server/source/subscription.ts';
import { startFakeBle } from '../fake-ble-controller/fake-controller.ts';
import { buildChild } from '../fake-ble-controller/child.ts';
import { mosquitto, writer } from '../support/brokers.ts';
import { repeat } from '../support/endings.ts';
import { layCable } from './serial/pty.ts';
import { Watch } from './watch.ts';

/** A source without a transport: its device sends what `say` is given, while it is subscribed to. */
class FakeSource implements Source {
  readonly kind = 'ble';
  private events: SourceEvents | null = null;
  private subscriptions: readonly Subscription[] = [];
  private looked: Subscription | null = null;
  private timer: NodeJS.Timeout | undefined;
  private readonly device: Device;

  constructor(id: string) {
    this.device = { id, name: 'Fake', link: 'seen' };
  }

  start(events: SourceEvents): void {
    if (this.events) return;
    this.events = events;
    queueMicrotask(() => this.tell());
  }

  subscribe(subscriptions: readonly Subscription[]): void {
    this.subscriptions = subscriptions;
    this.tell();
  }

  look(at: Subscription, seconds: number): void {
    this.looked = at;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.looked = null;
      this.tell();
    }, seconds * 1000);
    this.tell();
  }

  async stop(): Promise<void> {
    clearTimeout(this.timer);
    this.events?.status({ source: 'ble', state: 'off', devices: [] });
    this.events = null;
  }

  emit(body: FrameBody): void {
    if (this.isAsked()) this.events?.frame(body);
  }

  private isAsked(): boolean {
    const all = this.looked ? [...this.subscriptions, this.looked] : this.subscriptions;
    return all.some(
      (subscription) => subscription.source === 'ble' && subscription.device === this.device.id,
    );
  }

  private tell(): void {
    this.device.link = this.isAsked() ? 'connected' : 'seen';
    this.events?.status({ source: 'ble', state: 'running', devices: [{ ...this.device }] });
  }
}

const frameLine = z.discriminatedUnion('source', [bleLine, serialLine, mqttLine]);

/** A source with one device in reach, which speaks a few times a second while it is asked. */
type World = { source: Source; subscription: Subscription; id: string };

async function fakeWorld(): Promise<World> {
  const id = 'd0:00:00:00:00:01';
  const source = new FakeSource(id);
  repeat(50, () => source.emit({ source: 'ble', device: id, characteristic: '2a6e', bytes: '7869' }));
  return { source, subscription: { source: 'ble', device: id }, id };
}

async function bleWorld(): Promise<World> {
  const fakeBle = await startFakeBle({
    peripherals: [{ kind: 'health', name: 'Lance', celsius: 270, every: 100 }],
  });
  const id = fakeBle.peripheral('Lance').address;
  const source = new BleSource({ child: await buildChild(), env: fakeBle.env });
  return { source, subscription: { source: 'ble', device: id }, id };
}

async function serialWorld(): Promise<World> {
  const cable = await layCable();
  repeat(50, () => cable.write('stone=270.5\r\n').catch(() => {}));
  return {
    source: new SerialSource({ extra: [cable.port] }),
    subscription: { source: 'serial', port: cable.port },
    id: cable.port,
  };
}

async function mqttWorld(): Promise<World> {
  const broker = await mosquitto();
  const board = await writer(broker.url);
  const topic = 'grill/stone';
  repeat(50, () => board.publish(topic, '270.5').catch(() => {}));
  const access = brokerAccess.parse({ url: broker.url });
  const source = new MqttSource({ broker: { setting: () => ({ access, publish: null }), watch: () => {} } });
  // As a person does on the Probes page: what is below it is listed and not yet subscribed to.
  source.look({ source: 'mqtt', topic: 'grill/#' }, 3600);
  return { source, subscription: { source: 'mqtt', topic }, id: topic };
}

describe.each([
  ['a fake', fakeWorld],
  ['Bluetooth', bleWorld],
  ['serial ports', serialWorld],
  ['MQTT', mqttWorld],
])('the port of a source, by %s', (_name, makeWorld) => {
  let world: World;
  const watch = new Watch();
  beforeAll(async () => {
    world = await makeWorld();
  });
  afterAll(() => world.source.stop());
  const isLinked = (): boolean => watch.device(world.id)?.link === 'connected';

  it('starts at once, twice as well as once, and lists what is in reach without connecting', async () => {
    world.source.start(watch);
    world.source.start(new Watch());
    await watch.until('it runs', () => watch.last?.state === 'running' && watch.device(world.id));
    expect(watch.last?.source).toBe(world.source.kind);
    expect(watch.device(world.id)?.link).toBe('seen');
  });

  it('delivers frames, as the recordings have them, of what it is looked at for a while', async () => {
    watch.forget();
    // As long as it takes on a busy machine; each look is for a while.
    const look = (): void => world.source.look(world.subscription, 2);
    look();
    const lookAway = repeat(500, look);
    await watch.until('frames come', () => watch.frames.length > 2);
    lookAway();
    for (const frame of watch.frames) {
      expect(frameLine.safeParse({ ...frame, t: 0 }).success).toBe(true);
    }
    await watch.until('it is let go', () => watch.device(world.id)?.link === 'seen');
  });

  it('delivers frames from the subscription on until its end', async () => {
    world.source.subscribe([world.subscription]);
    await watch.until('it is linked', isLinked);
    watch.forget();
    await watch.until('frames come', () => watch.frames.length > 2);
    world.source.subscribe([]);
    await watch.until('it is let go', () => watch.device(world.id)?.link === 'seen');
  });

  it('ignores what is meant for another transport', () => {
    const other: Subscription =
      world.subscription.source === 'ble' ? { source: 'serial', port: 'x' } : { source: 'ble', device: 'x' };
    world.source.subscribe([other]);
    world.source.look(other, 1);
    expect(watch.device('x')).toBeUndefined();
  });

  it('says nothing any more once it is stopped, and starts anew, still knowing nothing', async () => {
    world.source.subscribe([world.subscription]);
    await watch.until('it is linked', isLinked);
    await world.source.stop();
    expect(watch.last).toMatchObject({ state: 'off', devices: [] });
    const counts = [watch.frames.length, watch.statuses.length];
    const second = new Watch();
    world.source.start(second);
    world.source.subscribe([world.subscription]);
    await second.until('frames come', () => second.frames.length > 2);
    expect([watch.frames.length, watch.statuses.length]).toEqual(counts);
  });
});
