import { X509Certificate, createPrivateKey, createPublicKey } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, renameSync, writeFileSync } from 'node:fs';
import { isIP } from 'node:net';
import { hostname, networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { Fault, messageOf } from '../../shared/fault.ts';
import { isHome } from './private-networks.ts';
import { issueAuthority, issueServer, keyIdOf, permittedBy, type Authority, type Issued } from './x509.ts';

/** What HTTPS is served with. */
export type Identity = {
  /** PEM, with the chain where there is one. */
  certificate: string;
  key: string;
  /** The local authority's certificate as PEM; null where the user brought a certificate of their own. */
  authority: string | null;
  /** Host names that the certificate is for, lower case. */
  names: string[];
  /** Addresses of this machine on its networks. */
  addresses: string[];
  /** Names of this machine that its authority may not sign for, since it was made when the machine had another. */
  unvouched: string[];
};

export const RENAMED =
  'Give the machine its old name back, or move the folder "authority" of the data folder away and start again: then each device has to trust it anew.';

const DAY_MS = 86_400_000;
/** Devices trust the authority once; it outlives the grill. */
const AUTHORITY_DAYS = 3650;
/** Below the 825 days that some devices allow at most to a certificate of an authority that the user added (recalled). */
const SERVER_DAYS = 390;
const RENEW_DAYS = 30;

/** DNS names of this machine on a home network. */
export function ownNames(own = hostname()): string[] {
  const plain = own.toLowerCase().replaceAll(/[^a-z\d.-]/g, '');
  const first = plain.split('.')[0] ?? '';
  return [...new Set([plain, `${first}.local`, 'localhost'])].filter((name) => /^[a-z\d]/.test(name));
}

/** Addresses of this machine on its home networks, IPv4: what a person can type, and what is listened on. */
export const ownAddresses = (): string[] =>
  Object.values(networkInterfaces())
    .flatMap((each) => each ?? [])
    .filter((each) => !each.internal && each.family === 'IPv4' && isHome(each.address))
    .map((each) => each.address);

/**
 * The identity made by an authority of this machine's own, kept in `folder`. What is missing, expires within a month or
 * does not fit this machine's addresses is made anew; the authority itself stays.
 * @param at ms since the epoch
 * @throws Fault `unusable` when the folder can't be written
 */
export function localIdentity(folder: string, at: number): Identity {
  const addresses = ownAddresses();
  const names = ownNames();
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const authority = storedAuthority(folder, names, at);
    const mayVouch = permittedBy(new X509Certificate(authority.certificate).raw);
    const unvouched = names.filter((name) => !mayVouch(name));
    const vouched = names.filter(mayVouch);
    const wanted = [...vouched, ...addresses, '127.0.0.1', '::1'];
    const { certificate, key } = storedServerCertificate(folder, authority, wanted, at);
    return { certificate, key, authority: authority.certificate, names: vouched, addresses, unvouched };
  } catch (error) {
    throw new Fault(
      'unusable',
      `The certificates in ${folder} can't be made or read (${messageOf(error)}): see that this user may write there, or move that folder away.`,
    );
  }
}

/**
 * The authority that devices trust. One that is not valid yet is no reason for another: the clock is wrong, and once it
 * is right the devices still know it. One that has ended is set aside, and comes back where the clock had been ahead.
 */
function storedAuthority(folder: string, names: readonly string[], at: number): Issued {
  const stored = readPair(folder, 'authority');
  if (stored && hasBegun(stored.certificate, at) && lasts(stored.certificate, at)) return stored;
  const before = quarantinedPairs(folder).find(
    ({ certificate }) => hasBegun(certificate, at) && lasts(certificate, at),
  );
  if (before) {
    quarantinePair(folder, 'authority', stored);
    return writePair(folder, 'authority', before);
  }
  if (stored && lasts(stored.certificate, at)) return stored;
  quarantinePair(folder, 'authority', stored);
  const made = issueAuthority(`peelside on ${names[0] ?? 'this machine'}`, names, {
    from: at - DAY_MS,
    to: at + AUTHORITY_DAYS * DAY_MS,
  });
  return writePair(folder, 'authority', made);
}

function storedServerCertificate(
  folder: string,
  authority: Issued,
  wanted: readonly string[],
  at: number,
): Issued {
  const stored = readPair(folder, 'server');
  // Before its authority's time the clock is wrong: what would be made by it, devices with a right one would not take.
  const isClockWrong = !hasBegun(authority.certificate, at);
  if (stored && fits(stored.certificate, authority.certificate, wanted, at, isClockWrong)) return stored;
  const begins = Date.parse(new X509Certificate(authority.certificate).validFrom);
  if (isClockWrong) at = begins + DAY_MS;
  const span = { from: at - DAY_MS, to: at + SERVER_DAYS * DAY_MS };
  return writePair(folder, 'server', issueServer(signerOf(authority), wanted, span));
}

function signerOf({ certificate, key }: Issued): Authority {
  const name = new X509Certificate(certificate).subject.replace(/^CN=/, '');
  return { name, key: createPrivateKey(key), keyId: keyIdOf(createPublicKey(createPrivateKey(key))) };
}

const hasBegun = (certificate: string, at: number): boolean =>
  Date.parse(new X509Certificate(certificate).validFrom) <= at;
const lasts = (certificate: string, at: number): boolean =>
  Date.parse(new X509Certificate(certificate).validTo) - at > RENEW_DAYS * DAY_MS;

function fits(
  certificate: string,
  authority: string,
  wanted: readonly string[],
  at: number,
  isClockWrong: boolean,
): boolean {
  const parsed = new X509Certificate(certificate);
  const known = wanted.every(
    (name) => (isIP(name) ? parsed.checkIP(name) : parsed.checkHost(name)) !== undefined,
  );
  const isTimely = isClockWrong || (hasBegun(certificate, at) && lasts(certificate, at));
  return known && isTimely && parsed.verify(new X509Certificate(authority).publicKey);
}

function readPair(folder: string, name: string): Issued | null {
  const [certificate, key] = [join(folder, `${name}.crt`), join(folder, `${name}.key`)];
  if (!existsSync(certificate) || !existsSync(key)) return null;
  return { certificate: readFileSync(certificate, 'utf8'), key: readFileSync(key, 'utf8') };
}

/** Pairs that were set aside, the newest first. */
function quarantinedPairs(folder: string): Issued[] {
  const names = readdirSync(folder).filter((name) => /^authority-.*\.crt$/.test(name));
  return names
    .sort()
    .reverse()
    .flatMap((name) => readPair(folder, name.replace(/\.crt$/, '')) ?? []);
}

/** Keeps a copy under the day on which it began, and a number where that is taken. */
function quarantinePair(folder: string, name: string, pair: Issued | null): void {
  if (pair === null) return;
  const began = new Date(new X509Certificate(pair.certificate).validFrom).toISOString().slice(0, 10);
  const print = fingerprintOf(pair.certificate).replaceAll(':', '').slice(0, 8).toLowerCase();
  writePair(folder, `${name}-${began}-${print}`, pair);
}

/** The key first, each under a name of its own until it is whole, so that a crash leaves no pair that does not fit. */
function writePair(folder: string, name: string, pair: Issued): Issued {
  for (const [ending, content] of [
    ['key', pair.key],
    ['crt', pair.certificate],
  ] as const) {
    const file = join(folder, `${name}.${ending}`);
    writeFileSync(`${file}.new`, content, { mode: ending === 'key' ? 0o600 : 0o644 });
    renameSync(`${file}.new`, file);
  }
  return pair;
}

/** The identity of certificate and key files that the user has. @throws Fault `invalid` when they are not a pair */
export function givenIdentity(certificateFile: string, keyFile: string): Identity {
  try {
    const certificate = readFileSync(certificateFile, 'utf8');
    const key = readFileSync(keyFile, 'utf8');
    const parsed = new X509Certificate(certificate);
    if (!parsed.checkPrivateKey(createPrivateKey(key)))
      throw new Error('the key is not that of the certificate');
    const names = [...(parsed.subjectAltName ?? '').matchAll(/DNS:([^,\s]+)/g)].map((match) =>
      (match[1] ?? '').toLowerCase(),
    );
    return { certificate, key, authority: null, names, addresses: ownAddresses(), unvouched: [] };
  } catch (error) {
    throw new Fault(
      'invalid',
      `The certificate ${certificateFile} with the key ${keyFile} can't be used (${messageOf(error)}): give a PEM certificate and its PEM key with --cert and --key.`,
    );
  }
}

/** SHA-256 of a certificate as people compare it: `AB:CD:…`. */
export const fingerprintOf = (certificate: string): string => new X509Certificate(certificate).fingerprint256;
/** DER, the form that tablets install. */
export const derOf = (certificate: string): Buffer => new X509Certificate(certificate).raw;
