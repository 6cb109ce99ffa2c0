import { STATUS_CODES, type IncomingMessage, type Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { WebSocketServer, type WebSocket } from 'ws';
import { HEARTBEAT_SECONDS } from '../../shared/api/live.ts';
import type { Live, Peer } from './broadcast.ts';

const PATH = '/api/live';
const BASE = 'http://localhost';
/** Pages send nothing but pongs. */
const MAX_MESSAGE_BYTES = 1024;

/** Pages at once, of all devices. */
const MAX_SOCKETS = 256;
/** Pings of a page between two heartbeats; a page of ours sends none. */
const MAX_PINGS = 20;
/** So long a refusal may take to be read, ms. */
const REFUSED_MS = 2000;
/** RFC 6455 7.4.1: policy violation. */
const POLICY_VIOLATION = 1008;

/** Says by the status of the answer whether a page may listen (101), and who it is, so that it can be dismissed. */
type Admit = (request: IncomingMessage) => { status: number; who: string };
type LiveLine = {
  /** Serves `WS /api/live` on one more HTTP server. */
  serve(server: Server): void;
  /** Hangs up on all pages of one device. */
  dismiss(who: string): void;
  stop(): void;
};

type Regularly = (work: () => void) => NodeJS.Timeout;
const onHeartbeat: Regularly = (work) => setInterval(work, HEARTBEAT_SECONDS * 1000);

export function createLine(live: Live, admit: Admit, regularly: Regularly = onHeartbeat): LiveLine {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: MAX_MESSAGE_BYTES,
    perMessageDeflate: false,
  });
  const unanswered = new WeakMap<WebSocket, number>();
  const pings = new WeakMap<WebSocket, number>();
  const owners = new WeakMap<WebSocket, string>();

  function upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    socket.on('error', () => socket.destroy());
    const url = URL.canParse(request.url ?? '/', BASE) ? new URL(request.url ?? '/', BASE) : null;
    if (url?.pathname !== PATH) return refuse(socket, 404);
    const { status, who } = admit(request);
    if (status !== 101) return refuse(socket, status);
    if (sockets.clients.size >= MAX_SOCKETS) return refuse(socket, 503);
    sockets.handleUpgrade(request, socket, head, (ws) => {
      owners.set(ws, who);
      listen(ws, url.searchParams);
    });
  }
  function listen(ws: WebSocket, asked: URLSearchParams): void {
    ws.on('pong', () => unanswered.set(ws, 0));
    ws.on('ping', () => {
      pings.set(ws, (pings.get(ws) ?? 0) + 1);
      if ((pings.get(ws) ?? 0) > MAX_PINGS) ws.terminate();
    });
    ws.on('message', () => ws.close(POLICY_VIOLATION, 'this connection is only for listening'));
    // ws has answered with a close frame, which an end at once could overtake; who stays is ended by the
    // heartbeat.
    ws.on('error', () => {});
    const since = Number(asked.get('since') ?? Number.NaN);
    const run = asked.get('run');
    const leave = live.join(peerOf(ws), run !== null && Number.isInteger(since) ? { run, since } : null);
    ws.on('close', leave);
  }

  /** A page that leaves three pings unanswered is gone, however open its connection looks. */
  const heartbeat = regularly(() => {
    live.heartbeat();
    for (const ws of sockets.clients) {
      const missed = unanswered.get(ws) ?? 0;
      if (missed >= 3) ws.terminate();
      unanswered.set(ws, missed + 1);
      pings.set(ws, 0);
      ws.ping();
    }
  });
  return {
    serve: (server) => void server.on('upgrade', upgrade),
    dismiss(who) {
      for (const ws of sockets.clients)
        if (owners.get(ws) === who) ws.close(POLICY_VIOLATION, 'this device is no longer let in');
    },
    stop() {
      clearInterval(heartbeat);
      for (const ws of sockets.clients) ws.terminate();
      sockets.close();
    },
  };
}

/** Answers and lets go: who never closes, or never reads, must not hold a connection. */
function refuse(socket: Duplex, status: number): void {
  const late = setTimeout(() => socket.destroy(), REFUSED_MS).unref();
  socket.once('close', () => clearTimeout(late));
  socket.end(
    `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`,
    () => socket.destroy(),
  );
}

/** All pages get the same message one after the other: it is made into bytes once. */
let last = { text: '', bytes: Buffer.alloc(0) };
function bytesOf(text: string): Buffer {
  if (text !== last.text) last = { text, bytes: Buffer.from(text) };
  return last.bytes;
}

const peerOf = (ws: WebSocket): Peer => ({
  send: (text) => ws.send(bytesOf(text), { binary: false }),
  buffered: () => ws.bufferedAmount,
  close: () => ws.close(1001, 'the server stops'),
});
