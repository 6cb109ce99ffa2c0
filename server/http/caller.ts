import type { IncomingMessage } from 'node:http';
import { TLSSocket } from 'node:tls';
import type { Caller } from '../access/rights.ts';

/** Who asks, as the connection says; headers that proxies add are not believed. */
export const callerOf = (request: IncomingMessage): Caller => ({
  secure: request.socket instanceof TLSSocket,
  cookie: request.headers.cookie,
  address: request.socket.remoteAddress ?? 'unknown',
});
