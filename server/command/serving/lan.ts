import { once } from 'node:events';
import { createServer, type Server } from 'node:https';
import type { IncomingMessage, RequestListener } from 'node:http';
import { Socket } from 'node:net';
import { join } from 'node:path';
import { Fault, messageOf } from '../../../shared/fault.ts';
import { countedAs } from '../../access/private-networks.ts';
import {
  RENAMED,
  fingerprintOf,
  givenIdentity,
  localIdentity,
  type Identity,
} from '../../access/authority.ts';
import { qrTerminal } from '../../access/qr.ts';
import { TIMEOUTS } from '../../http/app.ts';

export const LAN_PORT = 8443;
const LOOPBACK = new Set(['127.0.0.1', '::1', 'localhost']);
const MAX_CONNECTIONS = 1024;
/** Of those who have not shown yet that they were let in: beyond it the oldest of them goes, so that none keeps others out. */
const MAX_UNAUTHENTICATED = 256;
/** Of one address: ten pages with six connections each. */
const MAX_CONNECTIONS_EACH = 64;
const DAY_MS = 86_400_000;
const CHECK_EVERY_MS = 60_000;
/** Clocks that are kept right by the network move less, ms. */
const CLOCK_STEP_MS = 10 * 60_000;

export type LanOptions = { lan?: boolean; host?: string; cert?: string; key?: string };
type Addresses = {
  /** Where plain HTTP is, without login. */
  loopback: string;
  /** Where HTTPS is, for devices that were let in; null without --lan. */
  lan: string | null;
};

/**
 * What to listen on. Plain HTTP never leaves this machine.
 * @throws Fault `invalid` where the options would open it
 */
export function addressesOf({ lan, host, cert, key }: LanOptions): Addresses {
  if ((cert === undefined) !== (key === undefined))
    throw new Fault('invalid', 'A certificate needs its key: give both --cert and --key.');
  if (!lan && cert !== undefined)
    throw new Fault('invalid', 'A certificate is for the home network: add --lan.');
  const home = host === undefined || LOOPBACK.has(host);
  if (!lan && !home)
    throw new Fault(
      'invalid',
      `The address ${host} can be reached from the network: add --lan, which serves it by HTTPS and lets devices in by a code.`,
    );
  if (!lan) return { loopback: host ?? '127.0.0.1', lan: null };
  return { loopback: home && host ? host : '127.0.0.1', lan: home ? '0.0.0.0' : host };
}

/** The certificate that the user gave, or this machine's own. */
export const identityOf = ({ cert, key }: LanOptions, folder: string): Identity =>
  cert !== undefined && key !== undefined
    ? givenIdentity(cert, key)
    : localIdentity(join(folder, 'authority'), Date.now());

/**
 * HTTPS for the home network: TLS 1.2 or newer, bounded connections.
 * @param handle answers as plain HTTP does
 * @param isAuthenticated whether a call is of a paired device: unauthenticated connections never take the
 * place of its connection
 */
export function createLanServer(
  identity: Identity,
  handle: RequestListener,
  isAuthenticated: (request: IncomingMessage) => boolean,
): Server {
  const { certificate, key } = identity;
  const options = { cert: certificate, key, minVersion: 'TLSv1.2', handshakeTimeout: 10_000 } as const;
  const server = createServer({ ...options, ...TIMEOUTS }, handle);
  server.maxConnections = MAX_CONNECTIONS;
  const each = new Map<string, number>();
  const unauthenticated = createUnauthenticated();
  server.on('connection', (socket) => {
    const who = countedAs(socket instanceof Socket ? (socket.remoteAddress ?? '') : '');
    const open = (each.get(who) ?? 0) + 1;
    each.set(who, open);
    socket.once('close', () => {
      const left = (each.get(who) ?? 1) - 1;
      if (left > 0) each.set(who, left);
      else each.delete(who);
    });
    if (open > MAX_CONNECTIONS_EACH) socket.destroy();
    else if (socket instanceof Socket) unauthenticated.add(socket);
  });
  const letIn = (request: IncomingMessage): void => {
    if (isAuthenticated(request)) unauthenticated.forget(request.socket);
  };
  server.on('request', letIn);
  server.on('upgrade', letIn);
  return server;
}

/** Unauthenticated connections, the oldest first. A TLS socket has the port of the connection below it. */
function createUnauthenticated(): { add(socket: Socket): void; forget(socket: Socket): void } {
  const open = new Map<string, Socket>();
  const keyOf = ({ remoteAddress, remotePort }: Socket): string => `${remoteAddress} ${remotePort}`;
  return {
    add(socket) {
      const key = keyOf(socket);
      open.set(key, socket);
      socket.once('close', () => {
        if (open.get(key) === socket) open.delete(key);
      });
      for (const [first, oldest] of open) {
        if (open.size <= MAX_UNAUTHENTICATED) return;
        open.delete(first);
        oldest.destroy();
      }
    },
    forget: (socket) => void open.delete(keyOf(socket)),
  };
}

export const lanPortOf = (server: Server | null): number | null => {
  const address = server?.address();
  return typeof address === 'object' && address !== null ? address.port : null;
};

/** @throws the error of listening */
export async function listen(server: Server, host: string, port: number): Promise<void> {
  server.listen({ host, port });
  await once(server, 'listening');
}

/**
 * Looks once a day, and after each step of the clock, whether the certificate is still good for this machine.
 * @returns what stops it
 */
export function keepFresh(server: Server, options: LanOptions, folder: string): () => void {
  let looked = { wall: Date.now(), mono: performance.now() };
  const timer = setInterval(() => {
    const now = { wall: Date.now(), mono: performance.now() };
    const gone = now.mono - looked.mono;
    const isStep = Math.abs(now.wall - looked.wall - gone) > CLOCK_STEP_MS;
    if (gone < DAY_MS && !isStep) return;
    looked = now;
    try {
      const { certificate, key } = identityOf(options, folder);
      server.setSecureContext({ cert: certificate, key, minVersion: 'TLSv1.2' });
    } catch (error) {
      console.error(messageOf(error));
    }
  }, CHECK_EVERY_MS).unref();
  return () => clearInterval(timer);
}

/** What the terminal says of the home network; the picture only where somebody sees it. */
export function tellLan(identity: Identity, addresses: readonly string[]): void {
  for (const address of addresses) console.log(`On the home network: ${address}`);
  if (identity.unvouched.length > 0)
    console.log(
      `This machine is now called ${identity.unvouched.join(', ')}, for which its authority may not vouch: use an address above. ${RENAMED}`,
    );
  const [first] = addresses;
  if (identity.authority === null || first === undefined) return;
  console.log(`How to trust it on a tablet: ${first}/trust.html`);
  console.log(`Fingerprint of its authority (SHA-256): ${fingerprintOf(identity.authority)}`);
  if (process.stdout.isTTY) console.log(qrTerminal(`${first}/trust.html`));
}

/** A code is for the people at the terminal; a log that is kept gets none. */
export const showCode = process.stdout.isTTY
  ? (code: string, minutes: number): void =>
      console.log(`A device asks to be let in. Its code: ${code} (for ${minutes} minutes, once)`)
  : null;
