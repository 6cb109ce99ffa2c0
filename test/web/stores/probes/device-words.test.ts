import { describe, expect, it } from 'vitest';
import type { ListedDevice } from '../../../../shared/api/devices.ts';
import {
  deviceWords,
  formatTenths,
  inOrder,
  isThermometer,
  numberOf,
  rawWords,
  samePlace,
} from '../../../../web/stores/probes/device-words.ts';

const device = (id: string, over: Partial<ListedDevice> = {}): ListedDevice => ({
  source: 'ble',
  id,
  name: '',
  link: 'seen',
  parts: [],
  values: [],
  ...over,
});

describe('what is in reach, in words', () => {
  it('says link, signal and battery, and no signal of what is gone', () => {
    const words = deviceWords(device('a', { link: 'connected', rssi: -58, battery: 9 })).join(' · ');
    expect(words).toBe('Bluetooth · connected · signal good (−58\u00a0dBm) · battery low: 9\u00a0%');
    expect(deviceWords(device('a', { link: 'lost', rssi: -58 }))).toEqual(['Bluetooth', 'not in reach']);
    expect(deviceWords(device('p', { source: 'serial', rate: 9600 }))).toContain('9600 bits a second');
  });

  it('tells thermometers from other devices by their services and their values', () => {
    expect(isThermometer(device('a', { parts: [{ service: '1809' }] }))).toBe(true);
    expect(isThermometer(device('a', { parts: [{ service: '180f' }] }))).toBe(false);
    expect(isThermometer(device('p', { source: 'serial' }))).toBe(true);
  });

  it('keeps everything where it appeared, and unopened ports last', () => {
    const [a, b, c] = [device('a'), device('b'), device('c')];
    const port = device('p', { source: 'serial' });
    expect(inOrder([b, a], [port, a, c, b]).map((device) => device.id)).toEqual(['b', 'a', 'c', 'p']);
  });

  it('writes tenths in the unit of the person, and a dash for none', () => {
    expect(formatTenths(-3.04, 'C')).toBe('−3.0°');
    expect(formatTenths(270, 'F')).toBe('518.0°');
    expect(formatTenths(null, 'C')).toBe('–');
    expect(rawWords({ value: 9.5639, quantity: 'millivolt' })).toBe('9.5639 mV');
  });

  it('takes numbers as people type them, and nothing else', () => {
    expect([' 1,5', '−2', '1e-3'].map(numberOf)).toEqual([1.5, -2, 0.001]);
    expect(['', 'hot', '1 2', 'Infinity'].map(numberOf)).toEqual([null, null, null, null]);
  });

  it('knows two values of one frame by their place, and instances apart', () => {
    const at = { source: 'ble', device: 'a', characteristic: '2a6e' } as const;
    expect(samePlace({ ...at, part: '1' }, { ...at, part: '2', instance: 0 })).toBe(true);
    expect(samePlace(at, { ...at, instance: 1 })).toBe(false);
    expect(samePlace(at, { source: 'serial', port: 'a' })).toBe(false);
  });
});
