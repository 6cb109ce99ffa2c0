import { describe, expect, it } from 'vitest';
import { ConnectionManager } from '../../../server/source/ble/connection-manager.ts';
import type { Device } from '../../../server/source/source.ts';
import type { BleSubscription } from '../../../server/source/subscription.ts';
import { FakeClock, flushMicrotasks } from '../fake-clock.ts';
import { FakeRadio, environmental, type FakeDevice } from './fake-radio.ts';
import { subscriptionTo } from './peripherals.ts';

const STONE = 'd0:00:00:00:00:01';
const DOME = 'd0:00:00:00:00:02';
type Emitted = {
  frames: { device: string; bytes: string; characteristic?: string }[];
  stuck: string[];
  links: number[];
};

function set(...names: string[]): {
  radio: FakeRadio;
  clock: FakeClock;
  manager: ConnectionManager;
  emitted: Emitted;
  device(id: string): Device | undefined;
  /** Its advertisement is received, and so many ms go by. */
  advertise(id: string, ms?: number): Promise<void>;
  /** Subscribes to the stone and hears it, which connects. */
  connect(more?: Partial<BleSubscription>): Promise<void>;
} {
  const radio = new FakeRadio();
  for (const name of names) radio.devices.set(name, environmental(name, `Probe ${name.slice(-1)}`));
  const clock = new FakeClock();
  const emitted: Emitted = { frames: [], stuck: [], links: [] };
  let list: Device[] = [];
  const manager = new ConnectionManager(
    radio,
    clock,
    {
      frame: (line) => emitted.frames.push(line),
      devices: (devices) => (list = devices),
      links: (handles) => (emitted.links = handles),
      stuck: (why) => emitted.stuck.push(why),
    },
    () => 0.5,
  );
  const advertise = (id: string, ms = 1000): Promise<void> => {
    radio.advertise(id);
    return clock.pass(ms);
  };
  return {
    radio,
    clock,
    manager,
    emitted,
    device: (id) => list.find((each) => each.id === id),
    advertise,
    connect: (more = {}) => {
      manager.subscribe([subscriptionTo(STONE, more)]);
      return advertise(STONE);
    },
  };
}

/** A device that was put in. */
function stoneOf(radio: FakeRadio): FakeDevice {
  const stone = radio.devices.get(STONE);
  if (!stone) throw new Error('it was put in');
  return stone;
}

describe('keeping Bluetooth devices', () => {
  it('given no subscription, connects to nothing', async () => {
    const { radio, device, advertise } = set(STONE);
    await advertise(STONE);
    expect(device(STONE)).toMatchObject({ name: 'Probe 1', link: 'seen' });
    expect(radio.connects).toBe(0);
  });

  it('makes one connection at a time, however many devices are subscribed to', async () => {
    const names = Array.from({ length: 12 }, (_, i) => `d0:00:00:00:01:${i.toString().padStart(2, '0')}`);
    const { radio, clock, manager } = set(...names);
    manager.subscribe(names.map((name) => subscriptionTo(name)));
    for (const name of names) radio.advertise(name);
    await clock.pass(2000);
    expect(radio.links.size).toBe(12);
    expect(radio.mostConnecting).toBe(1);
  });

  it('given a subscribed device that never advertised, says so, and finds it whenever it comes', async () => {
    const { clock, manager, device, advertise } = set(STONE);
    manager.subscribe([subscriptionTo(STONE)]);
    await clock.pass(60_000);
    expect(device(STONE)).toMatchObject({
      link: 'lost',
      problem: expect.stringContaining('not been heard from yet'),
    });
    await clock.pass(3 * 3_600_000);
    await advertise(STONE);
    expect(device(STONE)?.link).toBe('connected');
    expect(device(STONE)?.problem).toBeUndefined();
  });

  it('waits longer after each failure, up to half a minute, while the device keeps advertising', async () => {
    const { radio, manager, advertise } = set(STONE);
    const stone = stoneOf(radio);
    stone.refusesConnect = true;
    manager.subscribe([subscriptionTo(STONE)]);
    const tries: number[] = [];
    for (let second = 0; second < 300; second += 0.25) {
      const before = radio.connects;
      await advertise(STONE, 250);
      if (radio.connects > before) tries.push(second);
    }
    const gaps = tries.slice(1).map((at, i) => at - (tries[i] ?? 0));
    // 0.5, 1, 2, 4, 8, 16, 30, 30 … s, to a quarter of a second, since the jitter of this test is none.
    expect(gaps.slice(0, 7)).toEqual([0.5, 1, 2, 4, 8, 16, 30]);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(30.25);
  });

  it('tries a rarely advertising device whenever it is heard, whatever the wait would be', async () => {
    const { radio, manager, advertise } = set(STONE);
    const stone = stoneOf(radio);
    stone.refusesConnect = true;
    manager.subscribe([subscriptionTo(STONE)]);
    for (let i = 0; i < 8; i += 1) {
      await advertise(STONE, 20_000);
    }
    expect(radio.connects).toBe(8);
  });

  it('takes a lost link up again and leaves no subscriptions or timers behind', async () => {
    const { radio, clock, emitted, connect } = set(STONE);
    await connect();
    const timers = clock.timers;
    for (let i = 0; i < 20; i += 1) {
      radio.links.get(STONE)?.drop();
      expect(emitted.links).toEqual([]);
      for (let s = 0; s < 40 && !radio.links.has(STONE); s += 1) {
        await clock.pass(1000);
        radio.advertise(STONE);
      }
      await clock.pass(1000);
    }
    expect(radio.connects).toBe(21);
    emitted.frames = [];
    radio.links.get(STONE)?.notifyAll();
    expect(emitted.frames.map((frame) => frame.bytes)).toEqual(['9065', '3075', '57']);
    expect(clock.timers).toBe(timers);
  });

  it('ends a link over which nothing is answered any more', async () => {
    const { radio, clock, device, advertise, connect } = set(STONE);
    await connect();
    const stone = stoneOf(radio);
    stone.deaf = true;
    await clock.pass(130_000);
    expect(radio.links.size).toBe(0);
    expect(device(STONE)?.link).toBe('lost');
    stone.deaf = false;
    await advertise(STONE);
    expect(device(STONE)?.link).toBe('connected');
  });

  it('given subscriptions renewed every half minute, a link that falls silent is ended all the same', async () => {
    const { radio, clock, manager, device, connect } = set(STONE);
    await connect();
    stoneOf(radio).silent = true;
    for (let i = 0; i < 6; i++) {
      manager.look(subscriptionTo(STONE), 60);
      await clock.pass(30_000);
    }
    expect(device(STONE)?.link).toBe('lost');
  });

  it('does not ask a device for names again that answered nothing after that', async () => {
    const { radio, manager, emitted, device, advertise } = set(STONE);
    const stone = stoneOf(radio);
    stone.chokesOnNames = true;
    manager.subscribe([subscriptionTo(STONE)]);
    for (let i = 0; i < 4; i += 1) {
      await advertise(STONE, 2000);
    }
    expect(radio.connects).toBe(2);
    expect(device(STONE)).toMatchObject({ link: 'connected', parts: expect.any(Array) });
    emitted.frames = [];
    radio.links.get(STONE)?.notifyAll();
    expect(emitted.frames).toHaveLength(3);
  });

  it('reads where a device can not notify, as often as the mapping says', async () => {
    const { radio, clock, emitted, connect } = set(STONE);
    for (const each of radio.devices.get(STONE)?.characteristics ?? []) each.can.notify = false;
    await connect({ service: '181a', characteristic: '2a6e', every: 5 });
    emitted.frames = [];
    await clock.pass(25_000);
    expect(emitted.frames.filter((frame) => frame.bytes === '9065')).toHaveLength(5);
  });

  it('writes a start command once a link, and again when it was changed', async () => {
    const { radio, clock, manager, advertise, connect } = set(STONE);
    const mapping = { service: 'ff01', characteristic: 'ff02', start: '01' };
    await connect(mapping);
    manager.subscribe([subscriptionTo(STONE, mapping), subscriptionTo(DOME)]);
    await clock.pass(1000);
    const stone = radio.devices.get(STONE);
    expect(stone?.written).toEqual(['01']);
    manager.subscribe([subscriptionTo(STONE, { ...mapping, start: '02' })]);
    await clock.pass(1000);
    expect(stone?.written).toEqual(['01', '02']);
    radio.links.get(STONE)?.drop();
    await clock.pass(2000);
    await advertise(STONE);
    expect(stone?.written).toEqual(['01', '02', '02']);
  });

  it('ends a link when the last subscription is gone', async () => {
    const { radio, clock, manager, device, advertise } = set(STONE);
    radio.advertise(STONE);
    manager.look(subscriptionTo(STONE), 20);
    await advertise(STONE, 10_000);
    expect(device(STONE)?.link).toBe('connected');
    await clock.pass(12_000);
    expect(radio.links.size).toBe(0);
    expect(device(STONE)).toMatchObject({ link: 'seen' });
    expect(device(STONE)?.problem).toBeUndefined();
  });

  it('scans again when nothing at all is heard, and gives up on a radio that will not', async () => {
    const { radio, clock, emitted } = set(STONE);
    await clock.pass(14_000);
    const before = radio.scans;
    await clock.pass(10_000);
    expect(radio.scans).toBeGreaterThan(before);
    expect(emitted.stuck).toEqual([]);
    radio.scanFails = true;
    await clock.pass(30_000);
    expect(emitted.stuck.length).toBeGreaterThan(0);
  });

  it('emits a changed advert at once where it is subscribed to, an unchanged advert once a second', async () => {
    const { radio, clock, manager, emitted } = set(STONE);
    manager.subscribe([subscriptionTo(STONE, { advert: 'fcd2' })]);
    const advertise = (bytes: string): void =>
      radio.advertise(STONE, { data: [{ advert: 'fcd2', bytes: Buffer.from(bytes, 'hex') }] });
    for (let i = 0; i < 30; i += 1) {
      advertise('4001');
      await clock.pass(100);
    }
    expect(emitted.frames).toHaveLength(3);
    for (let i = 0; i < 10; i += 1) advertise(`40${i.toString(16).padStart(2, '0')}`);
    expect(emitted.frames).toHaveLength(13);
    expect(radio.connects).toBe(0);
  });

  it('lets go of what it remembers of passing devices', async () => {
    const { radio, clock, device } = set(STONE);
    radio.advertise(STONE);
    for (let i = 0; i < 500; i += 1) {
      const id = `7a:00:00:00:${(i >> 8).toString(16).padStart(2, '0')}:${(i & 255).toString(16).padStart(2, '0')}`;
      radio.devices.set(id, environmental(id, ''));
      await clock.pass(10);
      radio.advertise(id);
    }
    expect(radio.forgotten.length).toBeGreaterThanOrEqual(180);
    expect(radio.forgotten[0]).toBe(STONE);
    await clock.pass(130_000);
    expect(device('7a:00:00:00:01:f3')).toBeUndefined();
  });

  it('stops for good', async () => {
    const { radio, clock, manager, connect } = set(STONE);
    await connect();
    await manager.stop();
    radio.advertise(STONE);
    await flushMicrotasks();
    expect(radio.links.size).toBe(0);
    expect(clock.timers).toBe(0);
  });
});
