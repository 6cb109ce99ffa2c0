import { hostname } from 'node:os';
import { isIP } from 'node:net';

/** The name part of a Host header, without port and brackets. */
function nameOf(host: string): string {
  const bracketed = /^\[([^\]]+)\]/.exec(host);
  return (bracketed?.[1] ?? host.split(':')[0] ?? '').toLowerCase();
}

/**
 * Whether a Host header is one that this machine can have: an address, localhost or its own name. A page of another
 * site that had its name pointed here (DNS rebinding) has none of these.
 */
export function isOurHost(host: string | undefined): boolean {
  if (host === undefined) return false;
  const name = nameOf(host);
  const own = hostname().toLowerCase();
  return isIP(name) !== 0 || name === 'localhost' || name === own || name === `${own}.local`;
}

/** Whether a WebSocket may be opened: no Origin (not a browser), or a page that came from this very server. */
export function isOurOrigin(origin: string | undefined, host: string | undefined): boolean {
  if (!isOurHost(host)) return false;
  if (origin === undefined) return true;
  return URL.canParse(origin) && new URL(origin).host === host;
}
