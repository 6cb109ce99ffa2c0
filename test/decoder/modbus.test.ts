import { expect, it } from 'vitest';
import { fromHex } from '../../server/decoder/bytes.ts';
import { crc16, modbus, readRequest } from '../../server/decoder/serial/modbus.ts';

// MODBUS over Serial Line V1.02, quoted; the first is the catalogue's check value
it.each([
  [Buffer.from('123456789').toString('hex'), 0x4b37],
  ['0207', 0x1241],
  ['01030000000a', 0xcdc5],
  ['0103006b0003', 0x1774],
  ['010306022b00000064', 0x7a05],
  ['010400000008', 0xccf1],
  ['0104020a8c', 0x35be],
  ['01040443874000', 0xe96f],
  ['018302', 0xf1c0],
  ['018402', 0xc1c2],
])('CRC of %s', (hex, crc) => {
  expect(crc16(fromHex(hex))).toBe(crc);
  expect(crc16(Uint8Array.of(...fromHex(hex), crc & 0xff, crc >> 8))).toBe(0);
});

const toHex = (bytes: Iterable<number>): string => Buffer.from([...bytes]).toString('hex');

it('asks as the specification writes it', () => {
  expect(toHex(readRequest(1, 'holding', 107, 3))).toBe('0103006b00037417');
  expect(toHex(readRequest(1, 'input', 0, 8))).toBe('010400000008f1cc');
});

it('reads a float whose words are swapped, and takes it for 2.004 when not told', () => {
  const frame = { t: 0, source: 'serial', port: 'm', bytes: '010404438740006fe9' } as const;
  const value = (swapped: boolean): number =>
    modbus.decode(frame, { values: [{ register: 0, type: 'float32', swapped }] }, {})[0]?.value ?? Number.NaN;
  expect(value(false)).toBe(270.5);
  expect(value(true)).toBeCloseTo(2.004, 3);
});

it('reads a negative register: −2636 in tenths is −263.6', () => {
  const body = fromHex('010402f5b4');
  const crc = crc16(body);
  const bytes = toHex([...body, crc & 0xff, crc >> 8]);
  const frame = { t: 0, source: 'serial', port: 'm', bytes } as const;
  expect(modbus.decode(frame, { values: [{ register: 0, scale: 0.1 }] }, {})).toMatchObject([
    { value: -263.6 },
  ]);
});
