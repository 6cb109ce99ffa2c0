import { BlockList, isIP } from 'node:net';

/** Networks that no one has on the wide internet: RFC 1918, 6598, 3927, 1122; RFC 4193, 4291. Address and prefix length. */
export const HOME_NETWORKS: readonly (readonly [string, number])[] = [
  ['10.0.0.0', 8],
  ['172.16.0.0', 12],
  ['192.168.0.0', 16],
  ['100.64.0.0', 10],
  ['169.254.0.0', 16],
  ['127.0.0.0', 8],
  ['fc00::', 7],
  ['fe80::', 10],
  ['::1', 128],
];
const familyOf = (address: string): 'ipv4' | 'ipv6' => (isIP(address) === 4 ? 'ipv4' : 'ipv6');
const home = new BlockList();
for (const [net, prefix] of HOME_NETWORKS) home.addSubnet(net, prefix, familyOf(net));

/** @param address one that `isIP` knows */
export const isHome = (address: string): boolean => home.check(address, familyOf(address));

/** The mask of a prefix length, in as many octets as the address has. */
export const maskBytes = (address: string, prefix: number): Buffer =>
  Buffer.from(addressBytes(address).map((_, i) => 256 - 2 ** (8 - Math.min(8, Math.max(0, prefix - i * 8)))));

/** The 4 or 16 octets of an address, for a certificate. @param address one that `isIP` knows, without a zone */
export function addressBytes(address: string): Buffer {
  if (isIP(address) === 4) return Buffer.from(address.split('.').map(Number));
  return Buffer.from(groupsOf(address).flatMap((group) => [group >> 8, group & 255]));
}

/** The eight groups of an IPv6 address, `::` filled up. */
function groupsOf(address: string): number[] {
  const [head = '', tail] = address.split('::');
  const before = wordsOf(head);
  const after = wordsOf(tail ?? '');
  const gap = tail === undefined ? 0 : 8 - before.length - after.length;
  return [...before, ...Array.from({ length: gap }, () => 0), ...after];
}

const wordsOf = (text: string): number[] =>
  text === ''
    ? []
    : text.split(':').flatMap((word) => {
        if (!word.includes('.')) return [Number.parseInt(word, 16)];
        const [a = 0, b = 0, c = 0, d = 0] = word.split('.').map(Number);
        return [a * 256 + b, c * 256 + d];
      });

/**
 * Who a limit counts as one: an IPv4 address, or the /64 of an IPv6 one, since one device has a whole /64 to choose
 * from (RFC 4291 2.5.4, RFC 8981).
 */
export function countedAs(address: string): string {
  const plain = address.replace(/%.*$/, '');
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(plain)?.[1];
  if (mapped !== undefined) return mapped;
  if (isIP(plain) !== 6) return plain;
  return `${groupsOf(plain)
    .slice(0, 4)
    .map((group) => group.toString(16))
    .join(':')}::/64`;
}
