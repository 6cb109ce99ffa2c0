import { PAIRED_AT_MOST_MS } from './paired-devices.ts';

/** `__Host-`: browsers keep it only with Secure, Path=/ and no Domain (RFC 6265bis 4.1.3.2), so that no other host sets it. */
export const COOKIE_NAME = '__Host-peelside';
const ATTRIBUTES = 'Path=/; Secure; HttpOnly; SameSite=Strict';

/** The Set-Cookie header that hands a device its token. */
export const cookieWith = (token: string): string =>
  `${COOKIE_NAME}=${token}; Max-Age=${Math.floor(PAIRED_AT_MOST_MS / 1000)}; ${ATTRIBUTES}`;
export const cookieWithout = (): string => `${COOKIE_NAME}=; Max-Age=0; ${ATTRIBUTES}`;

/** The token of a Cookie header; null where there is none that could be one of ours. */
export function tokenOf(header: string | undefined): string | null {
  const found = (header ?? '').split(/;\s*/).find((pair) => pair.startsWith(`${COOKIE_NAME}=`));
  const token = found?.slice(COOKIE_NAME.length + 1) ?? '';
  return /^[\w-]{43}$/.test(token) ? token : null;
}
