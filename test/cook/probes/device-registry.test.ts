import { describe, expect, it } from 'vitest';
import { DeviceRegistry } from '../../../server/cook/probes/device-registry.ts';
import type { CookInlet } from '../../../server/cook/live/sources-in-use.ts';
import type { FrameBody, Source, SourceEvents } from '../../../server/source/source.ts';
import type { Subscription } from '../../../server/source/subscription.ts';
import { handClock, openSession } from '../../support/session.ts';

/** A radio whose devices a test makes up. */
function madeUpRadio() {
  let events: SourceEvents | null = null;
  const asked: { subscriptions: readonly Subscription[]; looked: Subscription[] } = {
    subscriptions: [],
    looked: [],
  };
  const source: Source = {
    kind: 'ble',
    start: (given) => (events = given),
    subscribe: (subscriptions) => (asked.subscriptions = subscriptions),
    look: (at) => asked.looked.push(at),
    stop: () => Promise.resolve(),
  };
  return {
    source,
    asked,
    isStarted: () => events !== null,
    says: (body: FrameBody) => events?.frame(body),
    has: (...devices: { id: string; link: 'seen' | 'connected' | 'lost'; parts?: { service: string }[] }[]) =>
      events?.status({ source: 'ble', state: 'running', devices }),
  };
}

/** Where nobody looks at what reaches the cook. */
const NO_COOK: CookInlet = { frame: () => {}, useSources: () => {} };

const THERMOMETER = 'd0:0d:00:00:00:01';
/** 270.5 °C as a Health Thermometer says it (Bluetooth SIG, Health Thermometer Service). */
const frame = {
  source: 'ble',
  device: THERMOMETER,
  service: '1809',
  characteristic: '2a1c',
  bytes: '00910a00ff',
} as const;

function table() {
  const radio = madeUpRadio();
  const bench = openSession(undefined, undefined, { sources: [radio.source] });
  return { ...bench, radio, probes: bench.probes };
}

/** A device registry over one source of a kind, whose events a test makes up. */
function registryOf(kind: Source['kind']) {
  let events: SourceEvents | null = null;
  const source: Source = {
    kind,
    start: (given) => (events = given),
    subscribe: () => {},
    look: () => {},
    stop: () => Promise.resolve(),
  };
  const registry = new DeviceRegistry({ sources: [source], clock: handClock(), cook: NO_COOK });
  return { registry, events: () => events };
}

function serialTable(store: ReturnType<typeof openSession>['store']) {
  const { registry, events } = registryOf('serial');
  registry.subscribe(store.probes());
  return {
    registry,
    says: (body: FrameBody) => events()?.frame(body),
    has: (id: string) =>
      events()?.status({ source: 'serial', state: 'running', devices: [{ id, link: 'connected' }] }),
  };
}

const isLost = (session: ReturnType<typeof openSession>['session']): boolean =>
  session.now().channels.some(({ reason }) => reason === 'its thermometer is out of reach');

describe('what is in reach', () => {
  it('wakes the sources when somebody asks, and looks at thermometers that nobody has mapped', () => {
    const { registry, radio } = table();
    expect(radio.isStarted()).toBe(false);
    registry.view();
    radio.has({ id: THERMOMETER, link: 'seen', parts: [{ service: '1809' }] });
    expect(registry.view().devices[0]).toMatchObject({ id: THERMOMETER, link: 'seen', values: [] });
    expect(radio.asked.looked).toEqual([{ source: 'ble', device: THERMOMETER }]);
  });

  it('shows each value as decoded, as bytes and with its age', () => {
    const { registry, radio, clock } = table();
    registry.view();
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    clock.at += 1500;
    expect(registry.view().devices[0]?.values).toMatchObject([
      { decoder: 'health-thermometer', celsius: 270.5, raw: '00910a00ff', age: 1.5, probe: null },
    ]);
  });

  it('given an unmapped device, starts no cook, and maps it to a channel with one tap', async () => {
    const { registry, radio, probes, session } = table();
    registry.view();
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    expect(session.now().cook).toBeNull();
    const value = registry.view().devices[0]?.values[0];
    if (!value) throw new Error('no value');
    const probe = await probes.add({ channel: 'stone', address: value.address });
    expect(radio.asked.subscriptions).toMatchObject([{ device: THERMOMETER, characteristic: '2a1c' }]);
    radio.says(frame);
    expect(session.now().channels[0]).toMatchObject({
      id: 'stone',
      celsius: 270.5,
      quality: 'good',
      source: 'ble',
    });
    expect(registry.view().devices[0]?.values[0]?.probe).toBe(probe.id);
  });

  it('given a probe with its address and UUIDs spelt otherwise, takes its frames and shows it as theirs', async () => {
    const { registry, radio, probes, session } = table();
    const address = {
      source: 'ble',
      device: THERMOMETER.toUpperCase(),
      service: '00001809-0000-1000-8000-00805F9B34FB',
      characteristic: '0x2A1C',
    } as const;
    const probe = await probes.add({ channel: 'stone', address });
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    expect(session.now().channels[0]).toMatchObject({ id: 'stone', celsius: 270.5, quality: 'good' });
    expect(registry.view().devices[0]?.values[0]?.probe).toBe(probe.id);
    radio.has({ id: THERMOMETER, link: 'lost' });
    expect(isLost(session)).toBe(true);
  });

  it('says at once that the link to a probe is lost', async () => {
    const { radio, probes, session } = table();
    await probes.add({ channel: 'stone', address: { source: 'ble', device: THERMOMETER } });
    expect(radio.isStarted()).toBe(true);
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    expect(isLost(session)).toBe(false);
    radio.has({ id: THERMOMETER, link: 'lost' });
    expect(isLost(session)).toBe(true);
    expect(session.now().cook).not.toBeNull();
  });

  it('reads each value of a frame by its own sensor and correction, and proposes what the lines are', async () => {
    const { probes, store } = table();
    const port = 'usb:1234:5678:A';
    const lines = { source: 'serial', port, line: 'plate=212.05ohm lid=138.51ohm rest=20.5' } as const;
    const { registry, says, has } = serialTable(store);
    registry.view();
    has(port);
    for (let i = 0; i < 3; i++) says(lines);
    expect(registry.view().devices[0]?.lines).toMatchObject({ format: 'pairs', isSure: true });
    const of = (part: string) => ({ address: { source: 'serial' as const, port, part } });
    const conversion = { kind: 'platinum', r0: 100 };
    await probes.add({ channel: 'stone', ...of('plate'), conversion, calibration: { offset: -2, gain: 1 } });
    await probes.add({ channel: 'dome', ...of('lid'), conversion });
    registry.subscribe(probes.list());
    // IEC 60751: 212.05 Ω is 299.996 °C, 138.51 Ω is 100.012 °C of a Pt100.
    expect(registry.view().devices[0]?.values.map((value) => value.celsius)).toEqual([
      297.996, 100.012, 20.5,
    ]);
  });

  it('renews what somebody looks at while the page asks, and lets go of it after', () => {
    const { registry, radio, clock } = table();
    registry.look('ble', THERMOMETER, { characteristic: '2a6e' });
    for (let i = 0; i < 100; i++) {
      clock.at += 1000;
      registry.view();
    }
    expect(radio.asked.looked).toHaveLength(4);
    clock.at += 120_000;
    registry.view();
    expect(radio.asked.looked).toHaveLength(4);
  });

  it('keeps its memory bounded when addresses rotate', () => {
    const { registry, radio } = table();
    registry.view();
    for (let i = 0; i < 2000; i++) radio.says({ ...frame, device: `device ${i}` });
    radio.has({ id: 'device 0', link: 'seen' }, { id: 'device 1999', link: 'seen' });
    expect(registry.view().devices.map((device) => device.values.length)).toEqual([0, 1]);
  });
});

describe('the probe service', () => {
  it('swaps, renames, forgets, and leaves one probe a channel', async () => {
    const { probes } = table();
    const a = await probes.add({ channel: 'stone', address: { source: 'ble', device: 'a' } });
    const b = await probes.add({ channel: 'dome', address: { source: 'ble', device: 'b' } });
    await probes.swap(a.id, b.id);
    expect(probes.list().map((p) => p.channel)).toEqual(['dome', 'stone']);
    await probes.patch(a.id, { name: 'Left', channel: 'stone' });
    expect(probes.list().map((p) => [p.name, p.channel])).toEqual([
      ['Left', 'stone'],
      [undefined, null],
    ]);
    await probes.forget(b.id);
    expect(probes.list()).toHaveLength(1);
    await expect(probes.forget(b.id)).rejects.toThrow(/no probe/);
  });

  it('takes away what is null, and keeps nothing that cannot work', async () => {
    const { probes } = table();
    const address = { source: 'serial', port: 'a' } as const;
    const { id } = await probes.add({ channel: 'stone', address, tolerance: 'K class 1', name: 'Left' });
    expect(await probes.patch(id, { tolerance: null })).toEqual({
      id,
      channel: 'stone',
      address,
      name: 'Left',
    });
    await expect(probes.patch(id, { conversion: { kind: 'crystal' } })).rejects.toThrow(
      /no conversion "crystal"/,
    );
    await expect(probes.add({ channel: null, address, decoder: 'mapping', options: {} })).rejects.toThrow(
      /options/,
    );
    expect(probes.list()).toHaveLength(1);
  });

  it('calibrates by ice and boiling water, and takes it back', async () => {
    const { probes } = table();
    const { id } = await probes.add({ channel: 'stone', address: { source: 'ble', device: 'a' } });
    // ISO 2533 and IAPWS-IF97: water boils at 96.65 °C at 1000 m by the standard atmosphere.
    const by = await probes.calibrate(id, { by: 'ice-and-boiling', ice: 0, boiling: 96.65, altitude: 1000 });
    expect(by.calibration?.gain).toBeCloseTo(1, 3);
    expect(by.calibration?.how).toMatch(/270 °C/);
    await expect(probes.calibrate(id, { by: 'ice-and-boiling', ice: 0, boiling: 96 })).rejects.toThrow(
      /altitude/,
    );
    expect((await probes.calibrate(id, { by: 'nothing' })).calibration).toBeUndefined();
  });
});

it('given topics whose messages hold hundreds of numbers, shows a handful of each and those that are given', () => {
  const { registry, events } = registryOf('mqtt');
  const address = { source: 'mqtt' as const, topic: 'wide/0', part: '/200' };
  registry.subscribe([{ id: 'p', channel: 'stone', address }]);
  const topics = Array.from({ length: 40 }, (_, i) => `wide/${i}`);
  const payload = JSON.stringify(Array.from({ length: 800 }, (_, i) => 200 + (i % 10) / 2));
  const { frame, status } = events() as unknown as SourceEvents; // set by `subscribe`, which starts it
  for (let n = 0; n < 8; n++) for (const topic of topics) frame({ source: 'mqtt', topic, payload });
  status({ source: 'mqtt', state: 'running', devices: topics.map((id) => ({ id, link: 'seen' as const })) });
  const view = registry.view(false);
  expect(view.devices).toHaveLength(40);
  expect(view.devices[0]?.values.some((value) => value.probe === 'p')).toBe(true);
  expect(JSON.stringify(view).length).toBeLessThan(1_000_000);
});

it('given what no topic can be, asked to listen to it, says so', () => {
  const { registry } = table();
  expect(() => registry.look('mqtt', 'a#', {})).toThrow(/can’t be listened to/);
});
