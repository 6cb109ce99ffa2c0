import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createPipeline, startPipeline, takeFrame, type Pipeline } from '../../server/ingest/pipeline.ts';
import { SOURCE_OPTIONS } from '../../server/source/subscription.ts';
import { checkProbe } from '../../server/ingest/check-probe.ts';
import { describe as describeFrame } from '../../server/ingest/describe-frame.ts';
import { readHeader, readLine } from '../../server/core/read-line.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Frame } from '../../shared/recording.ts';
import { STONE_AND_DOME } from '../support/header.ts';

const of = (...probes: Probe[]): Pipeline => createPipeline({ channels: STONE_AND_DOME, probes });
const device = 'c4:00:00:00:00:01';
const advert = (t: number, bytes: string): Frame => ({ t, source: 'ble', device, advert: 'fcd2', bytes });
const wire = (t: number, line: string, port = 'p'): Frame => ({ t, source: 'serial', port, line });
const battery = (t: number, bytes: string): Frame => ({
  t,
  source: 'ble',
  device,
  service: '180f',
  characteristic: '2a19',
  bytes,
});
const onWire = (channel: string, part?: string, more: Partial<Probe> = {}): Probe => ({
  id: part ?? 'x',
  channel,
  address: { source: 'serial', port: 'p', ...(part !== undefined && { part }) },
  ...more,
});
/** A device whose advertisements are encrypted, and its key. */
const [mac, key] = ['54:48:e6:8f:80:a5', '231d39c1d7cc1ab1aee224cd096db932'];
const encrypted = (t: number, bytes: string): Frame => ({
  t,
  source: 'ble',
  device: mac,
  advert: 'fcd2',
  bytes,
});
const two: Probe[] = [
  { id: 's', channel: 'stone', address: { source: 'ble', device, advert: 'fcd2', part: '' } },
  { id: 'd', channel: 'dome', address: { source: 'ble', device, advert: 'fcd2', part: '2' } },
];

describe('frame to reading', () => {
  it('gives each value of a frame to its probe', () => {
    expect(of(...two).frame(advert(1, '400001458c0a45c409'))).toEqual({
      readings: [
        { t: 1, channel: 'stone', celsius: 270, quality: 'good' },
        { t: 1, channel: 'dome', celsius: 250, quality: 'good' },
      ],
      problems: [],
    });
  });

  it('takes a plain reading straight to its channel', () => {
    const { readings } = of().frame({ t: 5, channel: 'dome', fahrenheit: 482 });
    expect(readings).toEqual([{ t: 5, channel: 'dome', celsius: 250, quality: 'good' }]);
  });

  it('keeps what was judged before', () => {
    const assessed = { quality: 'uncertain', reason: 'stuck: exactly 250 °C for 9 min' } as const;
    const { readings } = of().frame({ t: 5, channel: 'dome', celsius: 250, ...assessed });
    expect(readings).toEqual([{ t: 5, channel: 'dome', celsius: 250, ...assessed }]);
  });

  it('lets no reading be good without a value, nor bad with one', () => {
    const read = (celsius: number | null, quality: 'good' | 'bad'): unknown =>
      of().frame({ t: 5, channel: 'dome', celsius, quality }).readings[0];
    expect(read(null, 'good')).toMatchObject({ celsius: null, quality: 'bad', reason: expect.any(String) });
    expect(read(250, 'bad')).toMatchObject({ celsius: null, quality: 'bad' });
  });

  it('takes a spot of the stone for stone, one of the dome for its dial, and asks what one of elsewhere was of', () => {
    const spot = (channel: string): unknown =>
      createPipeline({ channels: [...STONE_AND_DOME, { id: 'room', role: 'other' }], probes: [] }).frame({
        t: 1,
        source: 'spot',
        channel,
        celsius: 260,
        emissivitySet: 1,
      }).readings[0];
    expect(spot('stone')).toMatchObject({ celsius: expect.closeTo(270.23, 1), quality: 'good' });
    expect(spot('dome')).toMatchObject({ celsius: 260, quality: 'good', isLook: true });
    expect(spot('room')).toMatchObject({ quality: 'uncertain', reason: expect.stringMatching(/surface/) });
  });

  it('says open circuit in words and gives no value', () => {
    const { readings } = of().frame({ t: 5, channel: 'dome', celsius: null, fault: 'open-circuit' });
    expect(readings).toMatchObject([
      { celsius: null, quality: 'bad', reason: expect.stringMatching(/^open circuit/) },
    ]);
  });

  it('converts millivolts with the cold junction of the same line, or of the line before', () => {
    const probe = onWire('dome', 'dome', { conversion: { kind: 'thermocouple', type: 'K', junction: 'cj' } });
    // NIST Monograph 175: 9.5639 mV with the junction at 35 °C is 270.00 °C
    expect(of(probe).frame(wire(1, 'dome=9.5639mV cj=35.0C')).readings[0]?.celsius).toBeCloseTo(270, 1);
    const pipeline = of(probe);
    expect(pipeline.frame(wire(1, 'dome=9.5639mV')).readings).toMatchObject([
      { celsius: null, quality: 'bad' },
    ]);
    pipeline.frame(wire(2, 'cj=35.0C'));
    expect(pipeline.frame(wire(3, 'dome=9.5639mV')).readings[0]?.celsius).toBeCloseTo(270, 1);
  });

  it('asks for the sensor when raw values come without a conversion', () => {
    const probe = onWire('dome', 'dome', { name: 'Dome' });
    const { readings, problems } = of(probe).frame(wire(1, 'dome=9.5mV'));
    expect(readings).toEqual([]);
    expect(problems).toEqual([{ code: 'invalid', text: '"Dome" sends millivolts: say of which sensor.' }]);
  });

  it('calibrates: gain · read + offset', () => {
    const [probe] = two;
    const calibrated: Probe[] = probe ? [{ ...probe, calibration: { gain: 1.01, offset: -1.5 } }] : [];
    expect(of(...calibrated).frame(advert(1, '400001458c0a')).readings[0]?.celsius).toBe(271.2);
  });

  it('calibrates what is posted, and may lead it to another channel', () => {
    const probe: Probe = {
      id: 'h',
      channel: 'dome',
      address: { source: 'http', channel: 'lid' },
      calibration: { gain: 1, offset: 2 },
    };
    const posted = of(probe).frame({ t: 1, source: 'http', channel: 'lid', celsius: 250 });
    expect(posted.readings).toEqual([{ t: 1, channel: 'dome', celsius: 252, quality: 'good' }]);
  });

  it('doubts what reached us long after it was taken', () => {
    const { readings } = of().frame({ t: 900, source: 'http', channel: 'dome', celsius: 250, was: 300 });
    expect(readings).toMatchObject([
      { t: 900, quality: 'uncertain', reason: expect.stringMatching(/^late/) },
    ]);
  });

  it('corrects a spot reading by its surface', () => {
    const spot = { t: 1, source: 'spot', channel: 'stone', celsius: 260, emissivitySet: 1 } as const;
    // T⁴ correction worked out apart: ε 0.92, background 20 and 250 °C
    const read = (reflected: number, surface: string): unknown =>
      of().frame({ ...spot, reflected, surface }).readings[0];
    expect(read(20, 'cordierite')).toMatchObject({ celsius: expect.closeTo(270.23, 1), quality: 'good' });
    expect(read(250, 'cordierite')).toMatchObject({ celsius: expect.closeTo(260.84, 1), quality: 'good' });
    expect(read(20, 'bare-steel')).toMatchObject({
      quality: 'uncertain',
      reason: expect.stringMatching(/mirrors/),
    });
  });

  it('finds a characteristic by either spelling and keeps its instances apart', () => {
    const probe: Probe = {
      id: 's',
      channel: 'stone',
      address: {
        source: 'ble',
        device,
        service: '181A',
        characteristic: '00002a6e-0000-1000-8000-00805f9b34fb',
        instance: 1,
      },
    };
    const frame = (instance: number): Frame => ({
      t: 1,
      source: 'ble',
      device: device.toUpperCase(),
      service: '181a',
      characteristic: '2a6e',
      instance,
      bytes: '7869',
    });
    expect(of(probe).frame(frame(1)).readings).toHaveLength(1);
    expect(of(probe).frame(frame(0)).readings).toHaveLength(0);
  });

  it('shares the key of a device among its probes', () => {
    const probe = (id: string, options?: Probe['options']): Probe => ({
      id,
      channel: 'stone',
      address: { source: 'ble', device: mac, advert: 'fcd2', part: '' },
      options,
    });
    const frame = encrypted(1, '4179d52f34221100d93bb69e');
    const step = of(probe('a'), probe('b', { key })).frame(frame);
    expect(step.readings.map((reading) => reading.celsius)).toEqual([270, 270]);
    expect(of(probe('a')).frame(frame).problems).toMatchObject([
      { code: 'options', text: expect.stringMatching(/give its key/) },
    ]);
  });
});

describe('what is wrong is a problem, and the rest goes on', () => {
  it.each<[string, Frame, string]>([
    ['an unknown channel', { t: 1, channel: 'oven', celsius: 20 }, 'unknown-channel'],
    ['a damaged frame', advert(1, '40458c'), 'damaged'],
    ['a frame of another version', advert(1, '20458c0a'), 'damaged'],
  ])('%s', (_, frame, code) => {
    const { readings, problems } = of(...two).frame(frame);
    expect(readings).toEqual([]);
    expect(problems).toMatchObject([{ code, text: expect.stringMatching(/\.$/) }]);
  });

  it('a conversion that does not exist', () => {
    const probe = onWire('stone', undefined, { conversion: { kind: 'magic' } });
    const { problems } = of(probe).frame(wire(1, '20'));
    expect(problems).toMatchObject([{ text: expect.stringMatching(/no conversion "magic"/) }]);
  });

  it('one probe of a line, and the others of it have their readings', () => {
    const step = of(onWire('dome', 'couple'), onWire('stone', 'stone')).frame(
      wire(1, 'couple=9.5mV stone=270'),
    );
    expect(step.problems).toHaveLength(1);
    expect(step.readings).toMatchObject([{ channel: 'stone', celsius: 270 }]);
  });

  it('but not the other frames of a device whose probe names a decoder and no place', () => {
    const probe: Probe = { id: 'x', channel: 'stone', address: { source: 'ble', device }, decoder: 'bthome' };
    expect(of(probe).frame(battery(1, '61'))).toEqual({ readings: [], problems: [] });
    expect(of(probe).frame(battery(1, '05')).problems).toMatchObject([{ code: 'low-battery' }]);
    expect(of(probe).frame(advert(1, '40458c0a')).readings).toHaveLength(1);
  });

  it('a device that nothing reads, only when a probe wants it', () => {
    const probe: Probe = { id: 'x', channel: 'stone', address: { source: 'ble', device, advert: 'm:ffff' } };
    const frame: Frame = { t: 1, source: 'ble', device, advert: 'm:ffff', bytes: '01' };
    expect(of(probe).frame(frame).problems).toMatchObject([{ code: 'no-decoder' }]);
    expect(of().frame(frame)).toEqual({ readings: [], problems: [] });
  });

  it('a device may say of itself that its battery is low', () => {
    const pipeline = of(...two);
    expect(pipeline.frame(advert(1, '4000011501458c0a')).problems).toMatchObject([{ code: 'low-battery' }]);
    expect(pipeline.frame(advert(2, '4000021501458c0a')).problems).toEqual([]);
  });

  it('a low battery is told once, from an advertisement or its own characteristic', () => {
    const pipeline = of(...two);
    expect(pipeline.frame(battery(1, '14')).problems).toEqual([]);
    expect(pipeline.frame(battery(2, '0c')).problems).toMatchObject([{ code: 'low-battery' }]);
    expect(pipeline.frame(battery(3, '0b')).problems).toEqual([]);
    expect(pipeline.frame(advert(4, '4000020102458c0a')).readings).toMatchObject([
      { quality: 'uncertain', reason: expect.stringMatching(/^low battery: 2 %/) },
    ]);
  });
});

describe('the state', () => {
  it('takes new probes while running', () => {
    const pipeline = of();
    expect(pipeline.frame(advert(1, '400001458c0a')).readings).toEqual([]);
    pipeline.use(two);
    expect(pipeline.frame(advert(2, '400002458c0a')).readings).toHaveLength(1);
  });

  it('keeps no names that a board makes up', () => {
    const pipeline = of(onWire('stone', 'stone'));
    for (let i = 0; i < 1000; i++) pipeline.frame(wire(i, `x${i}=${i} cj${i}=20`));
    expect(JSON.stringify(pipeline.state).length).toBeLessThan(1000);
  });

  it('takes a device whose counter began anew once its probe is saved again', () => {
    const probe: Probe = {
      id: 's',
      channel: 'stone',
      address: { source: 'ble', device: mac, advert: 'fcd2' },
      options: { key },
    };
    const pipeline = of(probe);
    pipeline.frame(encrypted(1, '4179d52f34221100d93bb69e'));
    expect(pipeline.frame(encrypted(2, '41e445f3c9962b332211006c7c4519')).problems).toMatchObject([
      { code: 'damaged' },
    ]);
    pipeline.use([probe]);
    expect(pipeline.frame(encrypted(3, '41e445f3c9962b332211006c7c4519')).readings).toMatchObject([
      { celsius: 25.06 },
    ]);
  });

  it('goes on from JSON exactly where it was', () => {
    const state = startPipeline({ channels: STONE_AND_DOME, probes: two });
    const frames = Array.from({ length: 40 }, (_, i) =>
      advert(i, `4000${(i % 7).toString(16).padStart(2, '0')}458c0a45c409`),
    );
    for (const frame of frames.slice(0, 20)) takeFrame(state, frame);
    const other = JSON.parse(JSON.stringify(state)) as typeof state; // a copy of it
    for (const frame of frames.slice(20)) expect(takeFrame(other, frame)).toEqual(takeFrame(state, frame));
    expect(other).toEqual(state);
  });
});

describe('checking a probe before it is kept', () => {
  const probe: Probe = { id: 's', channel: 'stone', address: { source: 'serial', port: 'p' } };
  it.each<[Partial<Probe>, RegExp]>([
    [{ decoder: 'magic' }, /There is no decoder "magic"/],
    [{ decoder: 'bthome', options: { key: 'abc' } }, /options for BTHome advertisement are wrong: key/],
    [{ decoder: 'mapping', options: {} }, /mapping/],
    [{ conversion: { kind: 'thermocouple', type: 'Q' } }, /The conversion is wrong: type/],
  ])('%j', (part, words) => {
    expect(() => checkProbe({ ...probe, ...part }, SOURCE_OPTIONS.serial)).toThrow(words);
  });
  it('takes one that can work', () => {
    const conversion = { kind: 'thermocouple', type: 'K', junction: 'cj' };
    expect(() =>
      checkProbe(
        { ...probe, decoder: 'serial-text', options: { unit: 'F', rate: 9600 }, conversion },
        SOURCE_OPTIONS.serial,
      ),
    ).not.toThrow();
  });
});

describe('describe', () => {
  it('tells all that a frame says without a probe', () => {
    expect(describeFrame(advert(0, '400009015d458c0a45c409'))).toMatchObject({
      decoder: 'bthome',
      values: [
        { part: 'battery', quantity: 'battery', value: 93, celsius: null },
        { part: '', celsius: 270 },
        { part: '2', celsius: 250 },
      ],
    });
  });
  it('converts where it is told how, and says what is wrong', () => {
    const line: Frame = { t: 0, source: 'serial', port: 'p', line: 'dome=9.5639mV cj=35.0C' };
    const conversion = { kind: 'thermocouple', type: 'K' };
    expect(describeFrame(line).values).toMatchObject([{ celsius: null }, { celsius: 35 }]);
    expect(describeFrame(line, { conversion }).values).toMatchObject([
      { celsius: expect.closeTo(270, 1) },
      { celsius: 35 },
    ]);
    expect(describeFrame(line, { conversion: { kind: 'magic' } }).problem).toMatch(/no conversion "magic"/);
    expect(describeFrame(advert(0, '20')).problem).toMatch(/version 1/);
    expect(describeFrame({ t: 0, source: 'ble', device, advert: 'm:ffff', bytes: '01' }).decoder).toBeNull();
  });
});

describe('the recordings', () => {
  const folder = new URL('../../fixtures/', import.meta.url);
  const files = readdirSync(folder).filter((file) => file.endsWith('.jsonl'));
  it.each(files)('%s gives readings and no problem', (file) => {
    const [head = '', ...rest] = readFileSync(new URL(file, folder), 'utf8').trim().split('\n');
    const pipeline = createPipeline(readHeader(head));
    const steps = rest.map(readLine).flatMap((line) => ('event' in line ? [] : [pipeline.frame(line)]));
    expect(steps.flatMap((step) => step.problems)).toEqual([]);
    const readings = steps.flatMap((step) => step.readings);
    expect(readings.length).toBeGreaterThan(1000);
    const doubtful = readings.filter(
      (reading) => reading.quality === 'uncertain' && !reading.reason?.startsWith('clipped'),
    );
    // Spikes are put in on purpose, in one of them; the others are honest.
    expect(doubtful.length / readings.length).toBeLessThan(0.01);
  });
});
