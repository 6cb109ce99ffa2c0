import { hostname } from 'node:os';
import { isIP } from 'node:net';

/** The name part of a Host header, without port and brackets; empty where it is not one. */
function nameOf(host: string): string {
  const found = /^(?:\[([\da-f:.]+)\]|([^:[\]@/]+))(?::\d{1,5})?$/i.exec(host);
  return (found?.[1] ?? found?.[2] ?? '').toLowerCase();
}

const NONE: ReadonlySet<string> = new Set();

/**
 * Whether a Host header is one that this machine can have: an address, localhost, its own name, or a name that the
 * user's certificate is for. A page of another site that had its name pointed here (DNS rebinding) has none of these.
 */
export function isOurHost(host: string | undefined, names = NONE): boolean {
  if (host === undefined) return false;
  const name = nameOf(host);
  const own = hostname().toLowerCase();
  return (
    isIP(name) !== 0 || name === 'localhost' || name === own || name === `${own}.local` || names.has(name)
  );
}

/** Whether a call is no browser's (no Origin), or of a page that came from this very server by the same scheme. */
export function isOurOrigin(
  origin: string | undefined,
  host: string | undefined,
  names = NONE,
  secure = false,
): boolean {
  if (!isOurHost(host, names)) return false;
  if (origin === undefined) return true;
  if (!URL.canParse(origin)) return false;
  const { host: from, protocol } = new URL(origin);
  return from === host?.toLowerCase() && protocol === (secure ? 'https:' : 'http:');
}

/** What the browser itself says of a call without Origin, such as an image of ours on another site (Fetch Metadata). */
export const isCrossSite = (site: string | string[] | undefined, isOpening: boolean): boolean =>
  (site === 'cross-site' || site === 'same-site') && !isOpening;
