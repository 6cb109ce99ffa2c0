import { describe, expect, it } from 'vitest';
import { ProbeBook } from '../../server/cook/probe-book.ts';
import { Reach } from '../../server/cook/reach.ts';
import type { FrameBody, Source, SourceEvents } from '../../server/source/source.ts';
import type { Want } from '../../server/source/want.ts';
import { handClock, openStage } from '../support/stage.ts';

/** A radio whose devices a test makes up. */
function madeUpRadio() {
  let events: SourceEvents | null = null;
  const asked: { wanted: readonly Want[]; looked: Want[] } = { wanted: [], looked: [] };
  const source: Source = {
    kind: 'ble',
    start: (given) => (events = given),
    want: (wanted) => (asked.wanted = wanted),
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

const THERMOMETER = 'd0:0d:00:00:00:01';
/** 270.5 °C as a Health Thermometer says it (handbook section 4.2). */
const frame = {
  source: 'ble',
  device: THERMOMETER,
  service: '1809',
  characteristic: '2a1c',
  bytes: '00910a00ff',
} as const;

function table() {
  const bench = openStage();
  const radio = madeUpRadio();
  const reach = new Reach({
    sources: [radio.source],
    clock: bench.clock,
    frame: (body) => bench.incoming.frame(body),
    changed: () => {},
  });
  return { ...bench, radio, reach, book: new ProbeBook(bench.store, bench.stage, reach) };
}

/** A reach over ports that a test makes up. */
function serialTable(store: ReturnType<typeof openStage>['store']) {
  let events: SourceEvents | null = null;
  const source: Source = {
    kind: 'serial',
    start: (given) => (events = given),
    want: () => {},
    look: () => {},
    stop: () => Promise.resolve(),
  };
  const reach = new Reach({ sources: [source], clock: handClock(), frame: () => {}, changed: () => {} });
  reach.want(store.probes());
  return {
    reach,
    says: (body: FrameBody) => events?.frame(body),
    has: (id: string) =>
      events?.status({ source: 'serial', state: 'running', devices: [{ id, link: 'connected' }] }),
  };
}

describe('what is in reach', () => {
  it('wakes the sources when somebody asks, and looks at thermometers that nobody has mapped', () => {
    const { reach, radio, store } = table();
    expect(radio.isStarted()).toBe(false);
    reach.view();
    radio.has({ id: THERMOMETER, link: 'seen', parts: [{ service: '1809' }] });
    expect(reach.view().devices[0]).toMatchObject({ id: THERMOMETER, link: 'seen', values: [] });
    expect(radio.asked.looked).toEqual([{ source: 'ble', device: THERMOMETER }]);
    store.close();
  });

  it('shows each value as decoded, as bytes and with its age', () => {
    const { reach, radio, clock, store } = table();
    reach.view();
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    clock.at += 1500;
    expect(reach.view().devices[0]?.values).toMatchObject([
      { decoder: 'health-thermometer', celsius: 270.5, raw: '00910a00ff', age: 1.5, probe: null },
    ]);
    store.close();
  });

  it('starts no cook for strangers, and gives a probe its channel with one tap', async () => {
    const { reach, radio, book, stage, store } = table();
    reach.view();
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    expect(stage.now().cook).toBeNull();
    const value = reach.view().devices[0]?.values[0];
    if (!value) throw new Error('no value');
    const probe = await book.add({ channel: 'stone', address: value.address });
    expect(radio.asked.wanted).toMatchObject([{ device: THERMOMETER, characteristic: '2a1c' }]);
    radio.says(frame);
    expect(stage.now().channels[0]).toMatchObject({
      id: 'stone',
      celsius: 270.5,
      quality: 'good',
      source: 'ble',
    });
    expect(reach.view().devices[0]?.values[0]?.probe).toBe(probe.id);
    store.close();
  });

  it('says at once that the link to a probe is lost', async () => {
    const { reach, radio, book, stage, store } = table();
    await book.add({ channel: 'stone', address: { source: 'ble', device: THERMOMETER } });
    expect(radio.isStarted()).toBe(true);
    radio.has({ id: THERMOMETER, link: 'connected' });
    radio.says(frame);
    expect([...reach.lostChannels()]).toEqual([]);
    radio.has({ id: THERMOMETER, link: 'lost' });
    expect([...reach.lostChannels()]).toEqual(['stone']);
    expect(stage.now().cook).not.toBeNull();
    store.close();
  });

  it('reads each value of a frame by its own sensor and correction, and proposes what the lines are', async () => {
    const { book, store } = table();
    const port = 'usb:1234:5678:A';
    const lines = { source: 'serial', port, line: 'plate=212.05ohm lid=138.51ohm rest=20.5' } as const;
    const { reach, says, has } = serialTable(store);
    reach.view();
    has(port);
    for (let i = 0; i < 3; i++) says(lines);
    expect(reach.view().devices[0]?.lines).toMatchObject({ format: 'pairs', isSure: true });
    const of = (part: string) => ({ address: { source: 'serial' as const, port, part } });
    const conversion = { kind: 'platinum', r0: 100 };
    await book.add({ channel: 'stone', ...of('plate'), conversion, calibration: { offset: -2, gain: 1 } });
    await book.add({ channel: 'dome', ...of('lid'), conversion });
    reach.want(book.list());
    // Handbook section 2: 212.05 Ω is 299.996 °C, 138.51 Ω is 100.012 °C of a Pt100.
    expect(reach.view().devices[0]?.values.map((one) => one.celsius)).toEqual([297.996, 100.012, 20.5]);
    store.close();
  });

  it('renews what somebody looks at while the page asks, and lets go of it after', () => {
    const { reach, radio, clock, store } = table();
    reach.look('ble', THERMOMETER, { characteristic: '2a6e' });
    for (let i = 0; i < 100; i++) {
      clock.at += 1000;
      reach.view();
    }
    expect(radio.asked.looked).toHaveLength(4);
    clock.at += 120_000;
    reach.view();
    expect(radio.asked.looked).toHaveLength(4);
    store.close();
  });

  it('keeps its memory bounded when addresses rotate', () => {
    const { reach, radio, store } = table();
    reach.view();
    for (let i = 0; i < 2000; i++) radio.says({ ...frame, device: `device ${i}` });
    radio.has({ id: 'device 0', link: 'seen' }, { id: 'device 1999', link: 'seen' });
    expect(reach.view().devices.map((one) => one.values.length)).toEqual([0, 1]);
    store.close();
  });
});

describe('the probe book', () => {
  it('swaps, renames, forgets, and leaves one probe a channel', async () => {
    const { book, store } = table();
    const a = await book.add({ channel: 'stone', address: { source: 'ble', device: 'a' } });
    const b = await book.add({ channel: 'dome', address: { source: 'ble', device: 'b' } });
    await book.swap(a.id, b.id);
    expect(book.list().map((p) => p.channel)).toEqual(['dome', 'stone']);
    await book.patch(a.id, { name: 'Left', channel: 'stone' });
    expect(book.list().map((p) => [p.name, p.channel])).toEqual([
      ['Left', 'stone'],
      [undefined, null],
    ]);
    await book.forget(b.id);
    expect(book.list()).toHaveLength(1);
    await expect(book.forget(b.id)).rejects.toThrow(/no probe/);
    store.close();
  });

  it('takes away what is null, and keeps nothing that cannot work', async () => {
    const { book, store } = table();
    const address = { source: 'serial', port: 'a' } as const;
    const { id } = await book.add({ channel: 'stone', address, tolerance: 'K class 1', name: 'Left' });
    expect(await book.patch(id, { tolerance: null })).toEqual({
      id,
      channel: 'stone',
      address,
      name: 'Left',
    });
    await expect(book.patch(id, { conversion: { kind: 'crystal' } })).rejects.toThrow(
      /no conversion "crystal"/,
    );
    await expect(book.add({ channel: null, address, decoder: 'mapping', options: {} })).rejects.toThrow(
      /options/,
    );
    expect(book.list()).toHaveLength(1);
    store.close();
  });

  it('calibrates by ice and boiling water, and takes it back', async () => {
    const { book, store } = table();
    const { id } = await book.add({ channel: 'stone', address: { source: 'ble', device: 'a' } });
    // Handbook section 9: water boils at 96.65 °C at 1000 m by the standard atmosphere.
    const by = await book.calibrate(id, { by: 'ice-and-boiling', ice: 0, boiling: 96.65, altitude: 1000 });
    expect(by.calibration?.gain).toBeCloseTo(1, 3);
    expect(by.calibration?.how).toMatch(/270 °C/);
    await expect(book.calibrate(id, { by: 'ice-and-boiling', ice: 0, boiling: 96 })).rejects.toThrow(
      /altitude/,
    );
    expect((await book.calibrate(id, { by: 'nothing' })).calibration).toBeUndefined();
    store.close();
  });
});
