import { describe, expect, it } from 'vitest';
import { ProbeBook } from '../../server/cook/probe-book.ts';
import { Reach } from '../../server/cook/reach.ts';
import type { FrameBody, Source, SourceEvents } from '../../server/source/source.ts';
import type { Want } from '../../server/source/want.ts';
import { openStage } from '../support/stage.ts';

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
