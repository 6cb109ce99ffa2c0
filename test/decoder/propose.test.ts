import { describe, expect, it } from 'vitest';
import { propose } from '../../server/decoder/serial/propose.ts';

describe('what the first lines of a port are', () => {
  it('knows pairs, though the first line is cut', () => {
    const lines = [
      '.1',
      'stone=26.7 dome=27.1',
      'stone=26.4 dome=26.1',
      'stone=26.4 dome=26.6',
      'stone=26.6 dome=27.5',
    ];
    expect(propose(lines)).toMatchObject({
      format: 'pairs',
      isSure: true,
      values: [
        { part: 'stone', value: 26.6 },
        { part: 'dome', value: 27.5 },
      ],
    });
  });
  it('takes the names above the numbers', () => {
    expect(propose(['time,stone,dome', '1,20,30', '2,20.5,31', '3,21,32'])).toMatchObject({
      format: 'numbers',
      isSure: true,
      columns: ['time', 'stone', 'dome'],
      values: [
        { part: 'stone', value: 21 },
        { part: 'dome', value: 32 },
      ],
    });
  });
  it('knows JSON, and the units that names end with', () => {
    const lines = Array.from({ length: 4 }, (_, i) => `{"stone_f":${518.9 + i},"tc_mV":9.5,"cj":24}`);
    expect(propose(lines)).toMatchObject({
      format: 'json',
      isSure: true,
      values: [
        { part: 'stone_f' },
        { part: 'tc_mV', quantity: 'millivolt' },
        { part: 'cj', quantity: 'junction' },
      ],
    });
  });
  it('given a line received at a wrong rate, finds no temperature in it', () => {
    const found = propose(['\u0000\u00f8x\u0080\u00fe', 'xx\u0000\u00e0\u00fcx', '\u00f0\u00f0\u0000']);
    expect(found).toMatchObject({ format: null, readable: 0, isSure: false });
    expect(found.unread).toHaveLength(3);
  });
  it('is not sure of two lines, nor of lines that differ', () => {
    expect(propose(['20.1', '20.2']).isSure).toBe(false);
    expect(propose(['20.1', '20.2,3', '1,2,3', '4']).isSure).toBe(false);
    expect(propose([]).format).toBeNull();
  });
});
