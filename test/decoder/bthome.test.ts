import { describe, expect, it } from 'vitest';
import type { Measurement } from '../../server/decoder/decoder.ts';
import { bthome } from '../../server/decoder/ble/bthome.ts';

const readings = (
  session: Record<string, unknown>,
  t: number,
  bytes: string,
  options = {},
): (number | null)[] =>
  bthome
    .decode({ t, source: 'ble', device: '54:48:e6:8f:80:a5', advert: 'fcd2', bytes }, options, session)
    .filter((measurement: Measurement) => measurement.quantity === 'celsius')
    .map((each) => each.value);

describe('packet ids', () => {
  it('take each packet once however often it is heard', () => {
    const session = {};
    expect(readings(session, 0, '400009458c0a')).toEqual([270]);
    expect(readings(session, 0.1, '400009458c0a')).toEqual([]);
    expect(readings(session, 60, '400009458c0a')).toEqual([]);
    expect(readings(session, 61, '40000a458d0a')).toEqual([270.1]);
  });
  it('go round from 255 to 0', () => {
    const session = {};
    expect(readings(session, 0, '4000ff458c0a')).toEqual([270]);
    expect(readings(session, 1, '400000458d0a')).toEqual([270.1]);
  });
  it('drop a late repetition of an older packet, and take a device that began anew', () => {
    const session = {};
    readings(session, 0, '400020458c0a');
    expect(readings(session, 1, '40001f458d0a')).toEqual([]);
    expect(readings(session, 9, '40001f458d0a')).toEqual([270.1]);
  });
  it('take every advertisement of a device without them', () => {
    const session = {};
    expect(readings(session, 0, '40458c0a')).toEqual([270]);
    expect(readings(session, 0, '40458c0a')).toEqual([270]);
  });
});

describe('the counter of an encrypted device', () => {
  const options = { key: '231d39c1d7cc1ab1aee224cd096db932' };
  // BTHome encryption page: counters 1122867 and 1122868
  const first = '41e445f3c9962b332211006c7c4519';
  const second = '4179d52f34221100d93bb69e';

  it('must rise', () => {
    const session = {};
    expect(readings(session, 0, first, options)).toEqual([25.06]);
    expect(readings(session, 0.1, first, options)).toEqual([]);
    expect(readings(session, 1, second, options)).toEqual([270]);
    expect(() => readings(session, 2, first, options)).toThrow(/counter ran back/);
  });
  it('is not moved by a forgery', () => {
    const session = {};
    readings(session, 0, first, options);
    expect(() => readings(session, 1, '4179d52f34ffffffffd93bb69e', options)).toThrow(/does not open/);
    expect(readings(session, 2, second, options)).toEqual([270]);
  });
  it('lives in plain JSON', () => {
    const session = {};
    readings(session, 0, first, options);
    const restored = JSON.parse(JSON.stringify(session)) as Record<string, unknown>; // what was just written
    expect(readings(restored, 1, second, options)).toEqual([270]);
    expect(() => readings(restored, 2, first, options)).toThrow(/counter ran back/);
  });
});

it('has room for seven temperatures in the longest advertisement', () => {
  const seven = Array.from({ length: 7 }, (_, i) => `45${(100 + i).toString(16)}0a`).join('');
  expect(readings({}, 0, `400001${seven}`)).toHaveLength(7);
});
