import { execFileSync } from 'node:child_process';
import { X509Certificate, createPrivateKey, createPublicKey } from 'node:crypto';
import { readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { connect, createServer } from 'node:tls';
import { once } from 'node:events';
import { describe, expect, it } from 'vitest';
import { givenIdentity, localIdentity, ownNames } from '../../server/access/authority.ts';
import { issueAuthority, issueServer, keyIdOf } from '../../server/access/x509.ts';
import { integer, oid, time } from '../../server/access/der.ts';
import { Fault } from '../../shared/fault.ts';
import { listen } from '../support/endings.ts';
import { scratch } from '../support/server.ts';

const NOW = Date.parse('2026-06-01T12:00:00Z');
const DAY = 86_400_000;
const span = { from: NOW - DAY, to: NOW + 390 * DAY };

const authority = issueAuthority('peelside on grill', ['grill', 'grill.local', 'localhost'], span);
const signer = {
  name: 'peelside on grill',
  key: createPrivateKey(authority.key),
  keyId: keyIdOf(createPublicKey(authority.key)),
};

/** OpenSSL, by the letter of RFC 5280, on the day `at`. */
function openssl(server: string): string {
  const folder = scratch();
  writeFileSync(join(folder, 'authority.crt'), authority.certificate);
  writeFileSync(join(folder, 'server.crt'), server);
  try {
    const args = ['verify', '-x509_strict', '-attime', String(NOW / 1000), '-purpose', 'sslserver'];
    return execFileSync('openssl', [...args, '-CAfile', 'authority.crt', 'server.crt'], {
      cwd: folder,
      encoding: 'utf8',
      stdio: 'pipe',
    });
  } catch (error) {
    return error instanceof Error && 'stderr' in error ? String(error.stderr) : String(error);
  }
}

describe('what is written', () => {
  // X.690 8.3 and 8.19 and the example of 8.19.5: {2 999 3} has its first two arcs in one, 1079.
  it('follows X.690', () => {
    expect(integer(Buffer.from([0, 0, 0x80])).toString('hex')).toBe('02020080');
    expect(integer(Buffer.from([0])).toString('hex')).toBe('020100');
    expect(oid('1.2.840.10045.4.3.2').toString('hex')).toBe('06082a8648ce3d040302'); // RFC 5758 3.2
    expect(time(Date.parse('2049-12-31T23:59:59Z')).toString('latin1')).toBe('\x17\x0d491231235959Z');
    expect(time(Date.parse('2050-01-01T00:00:00Z')).toString('latin1')).toBe('\x18\x0f20500101000000Z');
  });
});

describe('certificates', () => {
  it('are what OpenSSL accepts in its strict mode, for home addresses and names', () => {
    const { certificate } = issueServer(signer, ['grill.local', '192.168.1.7', 'fd00::7', '::1'], span);
    expect(openssl(certificate)).toBe('server.crt: OK\n');
    const parsed = new X509Certificate(certificate);
    expect(parsed.checkHost('grill.local')).toBe('grill.local');
    expect(parsed.checkIP('192.168.1.7')).toBe('192.168.1.7');
    expect(parsed.checkHost('pizza.example')).toBeUndefined();
    expect(parsed.keyUsage).toEqual(['1.3.6.1.5.5.7.3.1']);
    expect(new X509Certificate(authority.certificate).ca).toBe(true);
    expect(parsed.ca).toBe(false);
  });

  it('are worth nothing outside the home network, though the authority signs them', () => {
    for (const name of ['bank.example', '8.8.8.8', '2001:db8::1'])
      expect(openssl(issueServer(signer, [name], span).certificate)).toContain('permitted subtree violation');
  });

  it('serve a TLS connection that trusts the authority alone', async () => {
    const identity = localIdentity(scratch(), Date.now());
    const server = createServer({ cert: identity.certificate, key: identity.key }, (socket) =>
      socket.end('hi'),
    );
    const port = await listen(server);
    const client = connect({ port, host: '127.0.0.1', ca: [identity.authority ?? ''] });
    await once(client, 'secureConnect');
    expect(client.authorized).toBe(true);
    client.destroy();
    const untrusting = connect({ port, host: '127.0.0.1' });
    const [error] = (await once(untrusting, 'error')) as [NodeJS.ErrnoException]; // as the event is documented
    expect(error.code).toMatch(/UNABLE_TO_VERIFY|SELF_SIGNED/);
  });
});

describe('the identity of a data folder', () => {
  it('keeps keys for its user alone, and the authority for good', () => {
    const folder = scratch();
    const first = localIdentity(folder, NOW);
    expect(readdirSync(folder).sort()).toEqual([
      'authority.crt',
      'authority.key',
      'server.crt',
      'server.key',
    ]);
    for (const name of ['authority.key', 'server.key'])
      expect(statSync(join(folder, name)).mode & 0o777).toBe(0o600);
    expect(localIdentity(folder, NOW + DAY)).toEqual(first);
    const later = localIdentity(folder, NOW + 370 * DAY);
    expect(later.authority).toBe(first.authority);
    expect(later.certificate).not.toBe(first.certificate);
  });

  it('refuses a certificate and key that are no pair, in one sentence', () => {
    const folder = scratch();
    localIdentity(folder, NOW);
    const [cert, key] = [join(folder, 'server.crt'), join(folder, 'authority.key')];
    expect(() => givenIdentity(cert, key)).toThrow(Fault);
    expect(() => givenIdentity(cert, join(folder, 'none'))).toThrow(/can't be used/);
    expect(givenIdentity(cert, join(folder, 'server.key'))).toMatchObject({
      authority: null,
      names: ownNames(),
      key: readFileSync(join(folder, 'server.key'), 'utf8'),
    });
  });
});
