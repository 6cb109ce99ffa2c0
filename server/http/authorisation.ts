import type { IncomingMessage } from 'node:http';
import { Fault, type FaultCode } from '../../shared/fault.ts';
import type { Access, Needs, Principal } from '../access/rights.ts';
import { callerOf } from './caller.ts';
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
const isCrossSite = (site: string | string[] | undefined, isOpening: boolean): boolean =>
  (site === 'cross-site' || site === 'same-site') && !isOpening;

export const STATUS: Record<FaultCode, number> = {
  invalid: 400,
  unauthenticated: 401,
  forbidden: 403,
  'not-found': 404,
  conflict: 409,
  'too-large': 413,
  unfit: 415,
  'too-many': 429,
  unkept: 503,
  unusable: 500,
};

const rights = new WeakMap<IncomingMessage, Principal>();
/** Whether who makes this call, which was judged, may act. */
export const mayAct = (request: IncomingMessage): boolean => rights.get(request)?.right === 'act';
/** Whether who makes this call, which was judged, may see what is measured. */
export const mayLook = (request: IncomingMessage): boolean => (rights.get(request)?.right ?? null) !== null;

/** Only a notice of ours has it: a webhook that leads back here would send one notice after the other. */
const OF_NOTICE = 'x-peelside-id';

/**
 * Whether a call may go on: by its host, by the page that makes it, and by what its device was let in for.
 * @throws Fault `forbidden`, `unauthenticated` or `too-many`
 */
export function authorize(request: IncomingMessage, needs: Needs, access: Access): Principal {
  const { origin, host, 'sec-fetch-site': site } = request.headers;
  const caller = callerOf(request);
  if (!isOurHost(host, access.names))
    throw new Fault('forbidden', 'This server answers on its own address only.');
  if (!isOurOrigin(origin, host, access.names, caller.secure) || isCrossSite(site, isOpening(request)))
    throw new Fault('forbidden', 'Pages of other sites may not use this server.');
  if (request.headers[OF_NOTICE] !== undefined)
    throw new Fault('forbidden', 'This server takes no notices: lead the webhook somewhere else.');
  const principal = access.admit(caller, needs);
  rights.set(request, principal);
  return principal;
}

/** Whether a browser opens a page of ours, by a link from anywhere: that alone may come from other sites. */
const isOpening = ({ method, url = '', headers }: IncomingMessage): boolean =>
  headers['sec-fetch-mode'] === 'navigate' &&
  (method === 'GET' || method === 'HEAD') &&
  !url.startsWith('/api/');

/** For the WebSocket: the status of the answer, and who listens, so that revoking can hang up. */
export function authorizeLive(request: IncomingMessage, access: Access): { status: number; who: string } {
  try {
    return { status: 101, who: authorize(request, 'look', access).device?.id ?? '' };
  } catch (error) {
    return { status: error instanceof Fault ? STATUS[error.code] : 500, who: '' };
  }
}
