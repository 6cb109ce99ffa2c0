import type { IncomingMessage } from 'node:http';
import { Fault, type FaultCode } from '../../shared/fault.ts';
import type { Access, Needs, Principal } from '../access/rights.ts';
import { callerOf } from './caller.ts';
import { isCrossSite, isOurHost, isOurOrigin } from './host-check.ts';

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
