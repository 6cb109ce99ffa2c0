import { describe, expect, it } from 'vitest';
import { countedAs } from '../../server/access/private-networks.ts';
import { createLimit } from '../../server/access/rate-limit.ts';
import { CODE_SECONDS, CODE_TRIES, createCodes } from '../../server/access/pairing-codes.ts';
import { isOurHost, isOurOrigin } from '../../server/http/authorisation.ts';
import { newCode, newToken, same } from '../../server/access/secret.ts';

const numbered = (): (() => string) => {
  let n = 0;
  return () => String(++n).padStart(8, '0');
};
const refusal = (work: () => unknown): string => {
  try {
    work();
    return 'none';
  } catch (error) {
    return error instanceof Error && 'code' in error ? String(error.code) : String(error);
  }
};

describe('a code', () => {
  it('lets one device in, once, with the right it was made for', () => {
    const codes = createCodes(numbered());
    codes.open('look', 0);
    codes.open('act', 0);
    expect(codes.use('0000 0001', '192.168.1.2', 1)).toBe('look');
    expect(refusal(() => codes.use('00000001', '192.168.1.2', 1))).toBe('forbidden');
    expect(codes.use('0000-0002', '192.168.1.3', 1)).toBe('act');
  });

  it('is gone after ten minutes', () => {
    const codes = createCodes(numbered());
    codes.open('act', 0);
    expect(codes.isOpen('00000001', CODE_SECONDS - 1)).toBe(true);
    expect(refusal(() => codes.use('00000001', '192.168.1.2', CODE_SECONDS))).toBe('forbidden');
  });

  it('dies of wrong tries, from however many addresses they come', () => {
    const codes = createCodes(numbered());
    codes.open('act', 0);
    for (let i = 0; i < CODE_TRIES; i++)
      expect(refusal(() => codes.use('99999999', `192.168.1.${i}`, 1))).toBe('forbidden');
    expect(refusal(() => codes.use('00000001', '192.168.1.200', 1))).toBe('forbidden');
  });

  it('is not tried more than five times by one address, while another still may', () => {
    const codes = createCodes(numbered());
    for (let i = 0; i < 5; i++) refusal(() => codes.use('99999999', '192.168.1.2', 1));
    codes.open('act', 1);
    expect(refusal(() => codes.use('00000001', '192.168.1.2', 1))).toBe('too-many');
    expect(codes.use('00000001', '192.168.1.3', 1)).toBe('act');
  });

  it('is not tried more than twenty times by all together', () => {
    const codes = createCodes(numbered());
    for (let i = 0; i < 20; i++) refusal(() => codes.use('99999999', `192.168.2.${i}`, 1));
    expect(refusal(() => codes.use('99999999', '192.168.3.1', 1))).toBe('too-many');
    expect(refusal(() => codes.use('99999999', '192.168.3.1', 1 + 61))).toBe('forbidden');
  });

  it('stays eight digits and differs each time; a token has 256 bits', () => {
    const made = new Set(Array.from({ length: 200 }, newCode));
    expect(made.size).toBeGreaterThan(195);
    for (const each of made) expect(each).toMatch(/^\d{8}$/);
    expect(Buffer.from(newToken(), 'base64url')).toHaveLength(32);
    expect([same('ab', 'ab'), same('ab', 'ac'), same('ab', 'abc')]).toEqual([true, false, false]);
  });
});

describe('a limit', () => {
  it('refills with time, up to its most, and does not go back with the clock', () => {
    const limit = createLimit({ most: 2, perSecond: 0.5 });
    const take = (at: number): boolean => limit.take('a', at);
    expect([take(0), take(0), take(0), take(1), take(2), take(2), take(1)]).toEqual([
      true,
      true,
      false,
      false,
      true,
      false,
      false,
    ]);
    expect([take(1000), take(1000), take(1000)]).toEqual([true, true, false]);
  });

  it('counts a device as one, by IPv4 address or /64', () => {
    expect(countedAs('::ffff:192.168.1.7')).toBe('192.168.1.7');
    expect(countedAs('fd00:1:2:3:aaaa::1')).toBe(countedAs('fd00:1:2:3::2'));
    expect(countedAs('fd00:1:2:4::1')).not.toBe(countedAs('fd00:1:2:3::1'));
    expect(countedAs('fe80::1%eth0')).toBe('fe80:0:0:0::/64');
  });
});

it('the host that a call names may be one of the user’s own certificate, and no other of its domain', () => {
  const names = new Set(['grill.example']);
  expect(isOurHost('grill.example:8443', names)).toBe(true);
  expect(isOurHost('GRILL.example', names)).toBe(true);
  for (const host of [
    'www.grill.example',
    'example',
    'grill.example.evil.example',
    'grill.example:x',
    undefined,
  ])
    expect([host, isOurHost(host, names)]).toEqual([host, false]);
  expect(isOurOrigin('https://grill.example:8443', 'grill.example:8443', names, true)).toBe(true);
  expect(isOurOrigin('http://grill.example:8443', 'grill.example:8443', names, true)).toBe(false);
  expect(isOurOrigin('https://grill.example', 'grill.example:8443', names, true)).toBe(false);
});
