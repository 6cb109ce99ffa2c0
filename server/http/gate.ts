import type { IncomingMessage } from 'node:http';
import { Fault, type FaultCode } from '../../shared/fault.ts';
import type { Access, Needs, Visitor } from '../access/access.ts';
import { callerOf } from './caller.ts';
import { isCrossSite, isOurHost, isOurOrigin } from './host.ts';

export const STATUS: Record<FaultCode, number> = {
  invalid: 400,
  stranger: 401,
  forbidden: 403,
  'not-found': 404,
  conflict: 409,
  'too-large': 413,
  'too-many': 429,
  unkept: 503,
  unusable: 500,
};

/**
 * Whether a call may go on: by its host, by the page that makes it, and by what its device was let in for.
 * @throws Fault `forbidden`, `stranger` or `too-many`
 */
export function judge(request: IncomingMessage, needs: Needs, access: Access): Visitor {
  const { origin, host, 'sec-fetch-site': site, 'sec-fetch-mode': mode } = request.headers;
  const caller = callerOf(request);
  if (!isOurHost(host, access.names))
    throw new Fault('forbidden', 'This server answers on its own address only.');
  if (!isOurOrigin(origin, host, access.names, caller.secure) || isCrossSite(site, mode))
    throw new Fault('forbidden', 'Pages of other sites may not use this server.');
  return access.admit(caller, needs);
}

/** For the WebSocket: the status of the answer, and who listens, so that revoking can hang up. */
export function judgeLive(request: IncomingMessage, access: Access): { status: number; who: string } {
  try {
    return { status: 101, who: judge(request, 'look', access).device?.id ?? '' };
  } catch (error) {
    return { status: error instanceof Fault ? STATUS[error.code] : 500, who: '' };
  }
}
