import { X509Certificate } from 'node:crypto';
import { existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { messageOf } from '../../../shared/fault.ts';
import { RENAMED, ownAddresses, ownNames } from '../../access/authority.ts';
import { permittedBy } from '../../access/x509.ts';
import type { Finding } from '../../source/source-checks.ts';

const NAME = 'certificate';
const AGAIN = 'Start "peelside serve --lan" again: it makes a new one, and devices need not trust it anew.';

/** Whether the certificate for the home network is one that a device can trust. @param at ms since the epoch */
export function checkCertificate(folder: string, at: number): Finding {
  const file = (name: string): string => join(folder, 'authority', name);
  if (!existsSync(file('server.crt')))
    return { name: NAME, ok: true, message: 'none yet; "peelside serve --lan" makes one' };
  try {
    const server = new X509Certificate(readFileSync(file('server.crt')));
    const authority = new X509Certificate(readFileSync(file('authority.crt')));
    const wrong = certificateError(server, authority, statSync(file('authority.key')).mode, at);
    if (wrong) return { name: NAME, ok: false, ...wrong };
    const message = `good until ${server.validTo}; a device that warns of it has not trusted its authority yet (trust.html), fingerprint ${authority.fingerprint256}`;
    return { name: NAME, ok: true, message };
  } catch (error) {
    return {
      name: NAME,
      ok: false,
      message: messageOf(error),
      remedy: AGAIN,
    };
  }
}

function certificateError(
  server: X509Certificate,
  authority: X509Certificate,
  mode: number,
  at: number,
): { message: string; remedy: string } | null {
  if (at < Date.parse(server.validFrom) || at > Date.parse(server.validTo))
    return {
      message: `not valid now (from ${server.validFrom} to ${server.validTo})`,
      remedy: `See that the clock is right. ${AGAIN}`,
    };
  if (!server.verify(authority.publicKey)) return { message: 'not signed by this authority', remedy: AGAIN };
  const mayVouch = permittedBy(authority.raw);
  const foreign = ownNames().filter((name) => !mayVouch(name));
  if (foreign.length > 0)
    return {
      message: `its authority may not sign for ${foreign.join(', ')}: this machine had another name when it was made`,
      remedy: `Devices reach it by its address all the same. ${RENAMED}`,
    };
  const missing = [
    ...ownNames().filter((name) => server.checkHost(name) === undefined),
    ...ownAddresses().filter((address) => server.checkIP(address) === undefined),
  ];
  if (missing.length > 0) return { message: `not for ${missing.join(', ')}`, remedy: AGAIN };
  if ((mode & 0o077) !== 0)
    return {
      message: 'other users can read its authority’s key',
      remedy: 'Take that right away: chmod 600 on authority.key in the data folder.',
    };
  return null;
}
