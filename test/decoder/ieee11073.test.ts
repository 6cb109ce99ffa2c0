import { describe, expect, it } from 'vitest';
import { float, sfloat } from '../../server/decoder/ieee11073.ts';
import { unsignedOf } from '../../server/decoder/bytes.ts';

const rawOf = (text: string): number =>
  unsignedOf(
    Uint8Array.from(text.split(' '), (pair) => Number.parseInt(pair, 16)),
    'little',
  );

// IEEE 11073-20601 by the HL7 Personal Health Device guide's page on MDER FLOAT and SFLOAT; others by its formula
describe('FLOAT', () => {
  it.each([
    ['91 0A 00 FF', 270.5],
    ['AA 69 00 FE', 270.5],
    ['42 0E 00 FE', 36.5],
    ['0E 01 00 00', 270],
    ['45 14 00 FF', 518.9],
    ['F1 FF FF FF', -1.5],
    ['02 00 00 01', 20],
    ['2E FB FF 00', -1234],
    ['E8 03 00 FF', 100],
    ['14 00 00 FF', 2],
    ['C8 00 00 FE', 2],
    ['FD FF 7F 00', 8_388_605],
    ['03 00 80 00', -8_388_605],
    ['00 00 00 80', 0],
  ])('%s is %f', (bytes, value) => {
    expect(float(rawOf(bytes))).toEqual({ value });
  });
  it.each(['FF FF 7F 00', '00 00 80 00', '01 00 80 00', 'FE FF 7F 00', '02 00 80 00', 'FF FF 7F FF'])(
    '%s is no number',
    (bytes) => {
      expect(float(rawOf(bytes))).toEqual({ value: null, fault: expect.any(String) });
    },
  );
  it('given a value as small as 1000 · 10⁻¹²⁸, doubts it', () => {
    expect(float(rawOf('E8 03 00 80'))).toEqual({ value: 1e-125, fault: expect.stringContaining('absurd') });
  });
});

describe('SFLOAT', () => {
  it.each([
    ['9E F7', 195],
    ['0E 01', 270],
    ['6D F1', 36.5],
    ['1B 10', 270],
    ['D2 04', 1234],
    ['2E 0B', -1234],
    ['FD 07', 2045],
    ['03 08', -2045],
    ['14 F0', 2],
  ])('%s is %f', (bytes, value) => {
    expect(sfloat(rawOf(bytes))).toEqual({ value });
  });
  it.each(['FF 07', '00 08', '01 08', 'FE 07', '02 08'])('%s is no number', (bytes) => {
    expect(sfloat(rawOf(bytes)).value).toBeNull();
  });
});
