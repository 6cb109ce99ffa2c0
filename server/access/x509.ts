import { createHash, generateKeyPairSync, randomBytes, sign, type KeyObject } from 'node:crypto';
import { isIP } from 'node:net';
import { HOME_NETWORKS, addressBytes, maskBytes } from './private-networks.ts';
import { bits, integer, octets, oid, sequence, set, tagged, text, time, yes } from './der.ts';

/** X.509 version 3 certificates (RFC 5280), issued with ECDSA on P-256 and SHA-256 (RFC 5758). */

export type Issued = { /** PEM */ certificate: string; /** PEM, PKCS #8 */ key: string };
export type Span = { /** ms since the epoch */ from: number; to: number };
export type Authority = { name: string; key: KeyObject; keyId: Buffer };

const OID = {
  commonName: '2.5.4.3',
  ecdsaWithSha256: '1.2.840.10045.4.3.2',
  subjectKeyId: '2.5.29.14',
  keyUsage: '2.5.29.15',
  alternativeNames: '2.5.29.17',
  basicConstraints: '2.5.29.19',
  nameConstraints: '2.5.29.30',
  authorityKeyId: '2.5.29.35',
  extendedKeyUsage: '2.5.29.37',
  serverAuth: '1.3.6.1.5.5.7.3.1',
};
/** Context tags of GeneralName (RFC 5280 4.2.1.6). */
const DNS_NAME = 0x82;
const IP_ADDRESS = 0x87;
/** RFC 5280 4.1: version 3 is written as 2. */
const VERSION_3 = tagged(0xa0, integer(Buffer.from([2])));
const ALGORITHM = sequence(oid(OID.ecdsaWithSha256));

const named = (name: string): Buffer => sequence(set(sequence(oid(OID.commonName), text(name))));
const extension = (id: string, value: Buffer, critical = false): Buffer =>
  sequence(oid(id), ...(critical ? [yes()] : []), octets(value));
const pem = (der: Buffer): string =>
  `-----BEGIN CERTIFICATE-----\n${der.toString('base64').replaceAll(/.{64}(?=.)/g, '$&\n')}\n-----END CERTIFICATE-----\n`;

function generalName(name: string): Buffer {
  return isIP(name) ? tagged(IP_ADDRESS, addressBytes(name)) : tagged(DNS_NAME, Buffer.from(name, 'ascii'));
}

/**
 * Only names of this list and addresses of home networks (RFC 5280 4.2.1.10): a stolen key of the authority is no key to
 * the rest of the web, for browsers that heed name constraints.
 */
function homeOnly(names: readonly string[]): Buffer {
  const subtrees = [
    ...names.map((name) => tagged(DNS_NAME, Buffer.from(name, 'ascii'))),
    ...HOME_NETWORKS.map(([net, prefix]) => tagged(IP_ADDRESS, addressBytes(net), maskBytes(net, prefix))),
  ];
  return sequence(tagged(0xa0, ...subtrees.map((subtree) => sequence(subtree))));
}

/** Its object identifier in DER, and what follows where it is critical: the head of the extension. */
const CONSTRAINTS_HEAD = Buffer.concat([oid(OID.nameConstraints), yes()]);

/** @param der an authority's certificate @returns whether it may vouch for a DNS name (RFC 5280 4.2.1.10) */
export function permittedBy(der: Buffer): (name: string) => boolean {
  const at = der.indexOf(CONSTRAINTS_HEAD);
  if (at === -1) return () => true;
  const permitted: string[] = [];
  const end = at + CONSTRAINTS_HEAD.length + lengthAt(der, at + CONSTRAINTS_HEAD.length + 1);
  // Octets of addresses could look like a name's head, but each name is alone in a sequence of just its length.
  for (let i = at + CONSTRAINTS_HEAD.length; i + 3 < Math.min(end, der.length); i++) {
    const length = der[i + 3] ?? 0;
    if (der[i] === 0x30 && der[i + 1] === length + 2 && der[i + 2] === DNS_NAME)
      permitted.push(der.toString('ascii', i + 4, i + 4 + length));
  }
  return (name) => permitted.some((suffix) => name === suffix || name.endsWith(`.${suffix}`));
}

/** A DER length with what heads it, generously: what lies behind it is no name. */
const lengthAt = (der: Buffer, at: number): number => {
  const first = der[at] ?? 0;
  if (first < 128) return first + 2;
  const octetCount = first & 127;
  return der.readUIntBE(at + 1, octetCount) + 2 + octetCount;
};

type Content = { subject: string; issuer: string; span: Span; publicKey: KeyObject; extensions: Buffer[] };

function issue({ subject, issuer, span, publicKey, extensions }: Content, signer: KeyObject): string {
  const content = sequence(
    VERSION_3,
    integer(randomBytes(16)),
    ALGORITHM,
    named(issuer),
    sequence(time(span.from), time(span.to)),
    named(subject),
    publicKey.export({ type: 'spki', format: 'der' }),
    tagged(0xa3, sequence(...extensions)),
  );
  return pem(sequence(content, ALGORITHM, bits(sign('sha256', content, signer))));
}

/** Names a key: the leftmost 160 bits of a hash of it (RFC 7093 2, method 4, recalled). */
export const keyIdOf = (key: KeyObject): Buffer =>
  createHash('sha256')
    .update(key.export({ type: 'spki', format: 'der' }))
    .digest()
    .subarray(0, 20);

const keyPair = () => generateKeyPairSync('ec', { namedCurve: 'P-256' });
const keyText = (key: KeyObject): string => key.export({ type: 'pkcs8', format: 'pem' }) as string; // PEM is text

/** @param names DNS names that it may vouch for, beside private addresses */
export function issueAuthority(name: string, names: readonly string[], span: Span): Issued {
  const { publicKey, privateKey } = keyPair();
  const extensions = [
    extension(OID.basicConstraints, sequence(yes(), integer(Buffer.from([0]))), true),
    extension(OID.keyUsage, bits(Buffer.from([0b0000_0110]), 1), true), // keyCertSign, cRLSign
    extension(OID.nameConstraints, homeOnly(names), true),
    extension(OID.subjectKeyId, octets(keyIdOf(publicKey))),
  ];
  const certificate = issue({ subject: name, issuer: name, span, publicKey, extensions }, privateKey);
  return { certificate, key: keyText(privateKey) };
}

/** @param names DNS names and addresses that the server answers on; the first is its subject */
export function issueServer(authority: Authority, names: readonly string[], span: Span): Issued {
  const { publicKey, privateKey } = keyPair();
  const extensions = [
    extension(OID.basicConstraints, sequence(), true),
    extension(OID.keyUsage, bits(Buffer.from([0b1000_0000]), 7), true), // digitalSignature
    extension(OID.extendedKeyUsage, sequence(oid(OID.serverAuth))),
    extension(OID.alternativeNames, sequence(...names.map(generalName))),
    extension(OID.authorityKeyId, sequence(tagged(0x80, authority.keyId))),
    extension(OID.subjectKeyId, octets(keyIdOf(publicKey))),
  ];
  const content = { subject: names[0] ?? 'peelside', issuer: authority.name, span, publicKey, extensions };
  return { certificate: issue(content, authority.key), key: keyText(privateKey) };
}
