import type { Server } from 'node:http';
import { WebSocketServer, type WebSocket } from 'ws';
import { HEARTBEAT_SECONDS } from '../../shared/live.ts';
import type { Live, Peer } from './live.ts';

const PATH = '/api/live';
/** Pages send nothing but pongs; anything larger is a mistake. */
const MAX_MESSAGE_BYTES = 1024;

/** Serves `WS /api/live` on an HTTP server. @param allowed says whether a page of this origin may listen */
export function serveLive(
  server: Server,
  live: Live,
  allowed: (origin: string | undefined, host: string | undefined) => boolean,
): () => void {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: MAX_MESSAGE_BYTES,
    perMessageDeflate: false,
  });
  const unanswered = new WeakMap<WebSocket, number>();

  server.on('upgrade', (request, socket, head) => {
    const url = new URL(request.url ?? '/', 'http://localhost');
    const good = url.pathname === PATH && allowed(request.headers.origin, request.headers.host);
    if (!good) {
      socket.end(`HTTP/1.1 ${url.pathname === PATH ? '403 Forbidden' : '404 Not Found'}\r\n\r\n`);
      return;
    }
    sockets.handleUpgrade(request, socket, head, (ws) => {
      ws.on('pong', () => unanswered.set(ws, 0));
      ws.on('error', () => ws.terminate());
      const since = Number(url.searchParams.get('since') ?? Number.NaN);
      const run = url.searchParams.get('run');
      const leave = live.join(peerOf(ws), run !== null && Number.isInteger(since) ? { run, since } : null);
      ws.on('close', leave);
    });
  });

  /** A page that leaves three pings unanswered is gone, however open its connection looks. */
  const beat = setInterval(() => {
    live.heartbeat();
    for (const ws of sockets.clients) {
      const missed = unanswered.get(ws) ?? 0;
      if (missed >= 3) ws.terminate();
      unanswered.set(ws, missed + 1);
      ws.ping();
    }
  }, HEARTBEAT_SECONDS * 1000);
  return () => {
    clearInterval(beat);
    for (const ws of sockets.clients) ws.terminate();
    sockets.close();
  };
}

const peerOf = (ws: WebSocket): Peer => ({
  send: (text) => ws.send(text),
  buffered: () => ws.bufferedAmount,
  close: () => ws.close(1001, 'the server stops'),
});
