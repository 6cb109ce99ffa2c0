import { createRequire } from 'node:module';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openRadio } from '../../../server/source/ble/radio/noble.ts';
import type {
  Advert,
  Characteristic,
  Link,
  Radio,
  RadioState,
} from '../../../server/source/ble/radio/radio.ts';
import { startFakeBle, type FakeBle } from '../../fake-ble-controller/fake-controller.ts';
import { FakeRadio, environmental } from './fake-radio.ts';

/** One device with two temperatures, in reach of a radio. */
type World = {
  radio: Radio;
  device: string;
  /** Breaks the link. */
  drop(): void;
  /** Makes the device say its values, and advertise where it has no link. */
  speak(): void;
  close(): Promise<void>;
};

async function fakeWorld(): Promise<World> {
  const device = 'd0:0d:00:00:00:01';
  const radio = new FakeRadio();
  radio.devices.set(device, environmental(device, 'Both'));
  return {
    radio,
    device,
    drop: () => radio.links.get(device)?.drop(),
    speak: () => {
      radio.advertise(device);
      radio.links.get(device)?.notifyAll();
    },
    close: () => radio.close(),
  };
}

async function airWorld(): Promise<World> {
  const fakeBle: FakeBle = await startFakeBle({
    peripherals: [
      {
        kind: 'environmental',
        name: 'Both',
        every: 100,
        temperatures: [
          { name: 'Stone', celsius: 260 },
          { name: 'Dome', celsius: 300 },
        ],
      },
    ],
  });
  // The library in this very process: its socket is replaced as the preload does in the radio's own process.
  Object.assign(process.env, {
    AIR_FOLDER: fakeBle.env['AIR_FOLDER'],
    AIR_ADDRESS: fakeBle.env['AIR_ADDRESS'],
  });
  createRequire(import.meta.url)('../../fake-ble-controller/socket.cjs');
  const radio = await openRadio();
  const { address } = fakeBle.peripheral('Both');
  return {
    radio,
    device: address,
    drop: () => fakeBle.peripheral('Both').drop(),
    speak: () => {},
    close: async () => {
      await radio.close();
      await fakeBle.close();
    },
  };
}

const TEMPERATURE = { service: '181a', characteristic: '2a6e' };
const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');
const pick = (all: readonly Characteristic[], part: Partial<Characteristic>): Characteristic => {
  const found = all.find((each) =>
    Object.entries(part).every(([key, value]) => each[key as keyof Characteristic] === value),
  );
  if (!found) throw new Error(`there is no ${JSON.stringify(part)} in ${JSON.stringify(all)}`);
  return found;
};

describe.each([
  ['a fake', fakeWorld],
  ['noble on the virtual air', airWorld],
])('the port of the radio, by %s', (_name, makeWorld) => {
  let world: World;

  beforeAll(async () => {
    world = await makeWorld();
  });
  afterAll(() => world.close());

  const advertOnce = (): Promise<Advert> =>
    new Promise((resolve) => {
      const off = world.radio.onAdvert((advert) => {
        if (advert.device !== world.device) return;
        off();
        resolve(advert);
      });
      world.speak();
    });

  async function connected(): Promise<{ link: Link; lost: Promise<void>; losses: () => number }> {
    await advertOnce();
    let losses = 0;
    let tell = (): void => {};
    const lost = new Promise<void>((resolve) => (tell = resolve));
    const link = await world.radio.connect(world.device, () => {
      losses += 1;
      tell();
    });
    return { link, lost, losses: () => losses };
  }

  it('tells its state to whoever asks, and not after the off switch', async () => {
    const on = new Promise<void>((resolve) =>
      world.radio.onState((state) => {
        if (state === 'on') resolve();
      }),
    );
    await on;
    const states: RadioState[] = [];
    world.radio.onState((state) => states.push(state))();
    expect(states).toEqual(['on']);
  });

  it('refuses to connect to what it never heard', async () => {
    await expect(world.radio.connect('00:00:00:00:00:99', () => {})).rejects.toThrow('not been heard');
  });

  it('hears who is there, with name, signal and services', async () => {
    await world.radio.scan();
    const advert = await advertOnce();
    expect(advert.connectable).toBe(true);
    expect(advert.services).toContain('181a');
    expect(advert.rssi).toBeLessThan(0);
  });

  it('tells two characteristics of one UUID apart, by read, name and subscription', async () => {
    const { link, lost } = await connected();
    const all = await link.discover();
    const [stone, dome] = [0, 1].map((instance) => pick(all, { ...TEMPERATURE, instance }));
    if (!stone || !dome) throw new Error('both were picked');
    // 26000 and 30000 hundredths of a degree, little-endian (Bluetooth SIG, GATT Specification Supplement)
    expect(hex(await link.read(stone))).toBe('9065');
    expect(hex(await link.read(dome))).toBe('3075');
    expect(await link.describe(stone)).toMatchObject({ name: 'Stone' });
    const { name, format } = await link.describe(dome);
    expect([name, hex(format ?? new Uint8Array())]).toEqual(['Dome', '0efe2f27010000']);
    const values: string[] = [];
    const both = [stone, dome].map(
      (characteristic, i) =>
        new Promise<void>((resolve, reject) => {
          const take = (bytes: Uint8Array): void => {
            values[i] = hex(bytes);
            resolve();
          };
          link.subscribe(characteristic, take).then(() => world.speak(), reject);
        }),
    );
    await Promise.all(both);
    // Values that arrived while subscribing come before it resolves.
    await link.rssi();
    expect(values).toEqual(['9065', '3075']);
    await link.close();
    await lost;
  });

  it('keeps subscriptions when it is asked again what there is', async () => {
    const { link, lost } = await connected();
    const stone = pick(await link.discover(), { ...TEMPERATURE, instance: 0 });
    let tell = (): void => {};
    await link.subscribe(stone, () => tell());
    const advertised = new Promise<void>((resolve) => (tell = resolve));
    await link.discover();
    world.speak();
    await advertised;
    await link.close();
    await lost;
  });

  it('refuses a second connect to what is linked', async () => {
    const { link, lost } = await connected();
    await expect(world.radio.connect(world.device, () => {})).rejects.toThrow();
    await link.close();
    await lost;
  });

  it('rejects what waits when the link breaks, says so once, and connects again', async () => {
    const { link, lost, losses } = await connected();
    const all = await link.discover();
    world.drop();
    await lost;
    await expect(link.read(pick(all, TEMPERATURE))).rejects.toThrow('the link ended');
    await link.close();
    expect(losses()).toBe(1);
    const again = await connected();
    expect(hex(await again.link.read(pick(await again.link.discover(), TEMPERATURE)))).toBe('9065');
    await again.link.close();
    await again.lost;
  });
});
