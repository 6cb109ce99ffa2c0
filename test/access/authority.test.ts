import { X509Certificate } from 'node:crypto';
import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { localIdentity, ownNames } from '../../server/access/authority.ts';
import { issueAuthority } from '../../server/access/x509.ts';
import { checkCertificate } from '../../server/command/serving/certificate-check.ts';
import { scratch } from '../support/server.ts';

const NOW = Date.parse('2026-06-01T12:00:00Z');
const DAY = 86_400_000;

describe('the authority that devices trust', () => {
  it('given a clock set back to before it was made, stays, with a server certificate that is good today', () => {
    const folder = scratch();
    const first = localIdentity(folder, NOW);
    const back = localIdentity(folder, 0);
    expect(back).toEqual(first);
    expect(localIdentity(folder, NOW)).toEqual(first);
  });

  it('given a clock years ahead, is set aside, and is back when the clock is right again', () => {
    const folder = scratch();
    const first = localIdentity(folder, NOW);
    const ahead = localIdentity(folder, NOW + 20 * 365 * DAY);
    expect(ahead.authority).not.toBe(first.authority);
    expect(readdirSync(folder).filter((name) => name.startsWith('authority-'))).toHaveLength(2);
    const right = localIdentity(folder, NOW + DAY);
    expect(right.authority).toBe(first.authority);
    expect(
      new X509Certificate(right.certificate).verify(new X509Certificate(first.authority ?? '').publicKey),
    ).toBe(true);
  });

  it('given a renamed machine, vouches for no name that it may not, and the doctor says what to do', () => {
    const data = scratch();
    const folder = join(data, 'authority');
    localIdentity(folder, NOW);
    const made = issueAuthority('peelside on older', ['older', 'older.local'], {
      from: NOW - DAY,
      to: NOW + 3650 * DAY,
    });
    writeFileSync(join(folder, 'authority.crt'), made.certificate);
    writeFileSync(join(folder, 'authority.key'), made.key, { mode: 0o600 });
    const { authority, certificate, names, unvouched } = localIdentity(folder, NOW);
    expect(authority).toBe(made.certificate);
    expect([names, unvouched]).toEqual([[], ownNames()]);
    const server = new X509Certificate(certificate);
    expect([server.checkHost('localhost'), server.checkIP('127.0.0.1')]).toEqual([undefined, '127.0.0.1']);
    expect(checkCertificate(data, NOW)).toMatchObject({
      ok: false,
      message: expect.stringContaining('may not sign for'),
      remedy: expect.stringContaining('trust it anew'),
    });
  });
});
