import { describe, expect, it } from 'vitest';
import { Keeper } from '../../../server/source/ble/keeper.ts';
import type { Device } from '../../../server/source/source.ts';
import type { BleWant } from '../../../server/source/want.ts';
import { FakeClock, settled } from '../fake-clock.ts';
import { FakeRadio, environmental } from './fake-radio.ts';

const STONE = 'd0:00:00:00:00:01';
const DOME = 'd0:00:00:00:00:02';
const wantOf = (device: string, more: Partial<BleWant> = {}): BleWant => ({ source: 'ble', device, ...more });

type Told = {
  frames: { device: string; bytes: string; characteristic?: string }[];
  stuck: string[];
  links: number[];
};

function set(...names: string[]): {
  radio: FakeRadio;
  clock: FakeClock;
  keeper: Keeper;
  told: Told;
  device(id: string): Device | undefined;
} {
  const radio = new FakeRadio();
  for (const name of names) radio.devices.set(name, environmental(name, `Probe ${name.slice(-1)}`));
  const clock = new FakeClock();
  const told: Told = { frames: [], stuck: [], links: [] };
  let list: Device[] = [];
  const keeper = new Keeper(
    radio,
    clock,
    {
      frame: (line) => told.frames.push(line),
      devices: (devices) => (list = devices),
      links: (handles) => (told.links = handles),
      stuck: (why) => told.stuck.push(why),
    },
    () => 0.5,
  );
  return { radio, clock, keeper, told, device: (id) => list.find((one) => one.id === id) };
}

describe('keeping Bluetooth devices', () => {
  it('connects to nothing that nobody wants', async () => {
    const { radio, clock, device } = set(STONE);
    radio.advertise(STONE);
    await clock.pass(1000);
    expect(device(STONE)).toMatchObject({ name: 'Probe 1', link: 'seen' });
    expect(radio.connects).toBe(0);
  });

  it('makes one connection at a time, however many are wanted', async () => {
    const names = Array.from({ length: 12 }, (_, i) => `d0:00:00:00:01:${i.toString().padStart(2, '0')}`);
    const { radio, clock, keeper } = set(...names);
    keeper.want(names.map((name) => wantOf(name)));
    for (const name of names) radio.advertise(name);
    await clock.pass(2000);
    expect(radio.links.size).toBe(12);
    expect(radio.mostConnecting).toBe(1);
  });

  it('says of a wanted device that was never heard, and finds it whenever it comes', async () => {
    const { radio, clock, keeper, device } = set(STONE);
    keeper.want([wantOf(STONE)]);
    await clock.pass(60_000);
    expect(device(STONE)).toMatchObject({
      link: 'lost',
      problem: expect.stringContaining('not been heard yet'),
    });
    await clock.pass(3 * 3_600_000);
    radio.advertise(STONE);
    await clock.pass(1000);
    expect(device(STONE)?.link).toBe('connected');
    expect(device(STONE)?.problem).toBeUndefined();
  });

  it('waits longer after each failure, up to half a minute, while the device keeps advertising', async () => {
    const { radio, clock, keeper } = set(STONE);
    const stone = radio.devices.get(STONE);
    if (!stone) throw new Error('it was put in');
    stone.refusesConnect = true;
    keeper.want([wantOf(STONE)]);
    const tries: number[] = [];
    for (let second = 0; second < 300; second += 0.25) {
      const before = radio.connects;
      radio.advertise(STONE);
      await clock.pass(250);
      if (radio.connects > before) tries.push(second);
    }
    const gaps = tries.slice(1).map((at, i) => at - (tries[i] ?? 0));
    // 0.5, 1, 2, 4, 8, 16, 30, 30 … s, to a quarter of a second, since the jitter of this test is none.
    expect(gaps.slice(0, 7)).toEqual([0.5, 1, 2, 4, 8, 16, 30]);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(30.25);
  });

  it('tries a rarely advertising device whenever it is heard, whatever the wait would be', async () => {
    const { radio, clock, keeper } = set(STONE);
    const stone = radio.devices.get(STONE);
    if (!stone) throw new Error('it was put in');
    stone.refusesConnect = true;
    keeper.want([wantOf(STONE)]);
    for (let i = 0; i < 8; i += 1) {
      radio.advertise(STONE);
      await clock.pass(20_000);
    }
    expect(radio.connects).toBe(8);
  });

  it('takes a lost link up again and leaves no subscriptions or timers behind', async () => {
    const { radio, clock, keeper, told } = set(STONE);
    keeper.want([wantOf(STONE)]);
    radio.advertise(STONE);
    await clock.pass(1000);
    const timers = clock.timers;
    for (let i = 0; i < 20; i += 1) {
      radio.links.get(STONE)?.drop();
      expect(told.links).toEqual([]);
      for (let s = 0; s < 40 && !radio.links.has(STONE); s += 1) {
        await clock.pass(1000);
        radio.advertise(STONE);
      }
      await clock.pass(1000);
    }
    expect(radio.connects).toBe(21);
    told.frames = [];
    radio.links.get(STONE)?.notifyAll();
    expect(told.frames.map((frame) => frame.bytes)).toEqual(['9065', '3075', '57']);
    expect(clock.timers).toBe(timers);
  });

  it('ends a link over which nothing is answered any more', async () => {
    const { radio, clock, keeper, device } = set(STONE);
    keeper.want([wantOf(STONE)]);
    radio.advertise(STONE);
    await clock.pass(1000);
    const stone = radio.devices.get(STONE);
    if (stone) stone.deaf = true;
    await clock.pass(130_000);
    expect(radio.links.size).toBe(0);
    expect(device(STONE)?.link).toBe('lost');
    if (stone) stone.deaf = false;
    radio.advertise(STONE);
    await clock.pass(1000);
    expect(device(STONE)?.link).toBe('connected');
  });

  it('does not ask a device for names again that answered nothing after that', async () => {
    const { radio, clock, keeper, told, device } = set(STONE);
    const stone = radio.devices.get(STONE);
    if (!stone) throw new Error('it was put in');
    stone.chokesOnNames = true;
    keeper.want([wantOf(STONE)]);
    for (let i = 0; i < 4; i += 1) {
      radio.advertise(STONE);
      await clock.pass(2000);
    }
    expect(radio.connects).toBe(2);
    expect(device(STONE)).toMatchObject({ link: 'connected', parts: expect.any(Array) });
    told.frames = [];
    radio.links.get(STONE)?.notifyAll();
    expect(told.frames).toHaveLength(3);
  });

  it('reads where a device can not notify, as often as the mapping says', async () => {
    const { radio, clock, keeper, told } = set(STONE);
    for (const one of radio.devices.get(STONE)?.characteristics ?? []) one.can.notify = false;
    keeper.want([wantOf(STONE, { service: '181a', characteristic: '2a6e', every: 5 })]);
    radio.advertise(STONE);
    await clock.pass(1000);
    told.frames = [];
    await clock.pass(25_000);
    expect(told.frames.filter((frame) => frame.bytes === '9065')).toHaveLength(5);
  });

  it('writes a start command once a link, and again when it was changed', async () => {
    const { radio, clock, keeper } = set(STONE);
    const mapping = { service: 'ff01', characteristic: 'ff02', start: '01' };
    keeper.want([wantOf(STONE, mapping)]);
    radio.advertise(STONE);
    await clock.pass(1000);
    keeper.want([wantOf(STONE, mapping), wantOf(DOME)]);
    await clock.pass(1000);
    const stone = radio.devices.get(STONE);
    expect(stone?.written).toEqual(['01']);
    keeper.want([wantOf(STONE, { ...mapping, start: '02' })]);
    await clock.pass(1000);
    expect(stone?.written).toEqual(['01', '02']);
    radio.links.get(STONE)?.drop();
    await clock.pass(2000);
    radio.advertise(STONE);
    await clock.pass(1000);
    expect(stone?.written).toEqual(['01', '02', '02']);
  });

  it('ends a link when nobody wants or looks at it any more', async () => {
    const { radio, clock, keeper, device } = set(STONE);
    radio.advertise(STONE);
    keeper.look(wantOf(STONE), 20);
    radio.advertise(STONE);
    await clock.pass(10_000);
    expect(device(STONE)?.link).toBe('connected');
    await clock.pass(12_000);
    expect(radio.links.size).toBe(0);
    expect(device(STONE)).toMatchObject({ link: 'seen' });
    expect(device(STONE)?.problem).toBeUndefined();
  });

  it('scans again when nothing at all is heard, and gives up on a radio that will not', async () => {
    const { radio, clock, told } = set(STONE);
    await clock.pass(14_000);
    const before = radio.scans;
    await clock.pass(10_000);
    expect(radio.scans).toBeGreaterThan(before);
    expect(told.stuck).toEqual([]);
    radio.scanFails = true;
    await clock.pass(30_000);
    expect(told.stuck.length).toBeGreaterThan(0);
  });

  it('tells a changed advert at once where it is wanted, the same one once a second', async () => {
    const { radio, clock, keeper, told } = set(STONE);
    keeper.want([wantOf(STONE, { advert: 'fcd2' })]);
    const advertise = (bytes: string): void =>
      radio.advertise(STONE, { data: [{ advert: 'fcd2', bytes: Buffer.from(bytes, 'hex') }] });
    for (let i = 0; i < 30; i += 1) {
      advertise('4001');
      await clock.pass(100);
    }
    expect(told.frames).toHaveLength(3);
    for (let i = 0; i < 10; i += 1) advertise(`40${i.toString(16).padStart(2, '0')}`);
    expect(told.frames).toHaveLength(13);
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
    const { radio, clock, keeper } = set(STONE);
    keeper.want([wantOf(STONE)]);
    radio.advertise(STONE);
    await clock.pass(1000);
    await keeper.stop();
    radio.advertise(STONE);
    await settled();
    expect(radio.links.size).toBe(0);
    expect(clock.timers).toBe(0);
  });
});
