// The server's inside through two days of a cook on a clock that runs as fast as it can, in a process of its own so that
// its memory is its own. Prints a line of JSON for each simulated hour.
import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { WebSocket } from 'ws';
import { createAccess } from '../../server/access/rights.ts';
import { localIdentity } from '../../server/access/authority.ts';
import { createLine } from '../../server/hub/socket.ts';
import { buildApp } from '../../server/http/app.ts';
import { apiRoutes } from '../../server/http/routes/all-routes.ts';
import { HEARTBEAT_SECONDS } from '../../shared/api/live.ts';
import { handTimer, openSession } from '../support/session.ts';

const HOURS = 48;
/** Pages and disk get their turn so often, simulated s. */
const BREATH = 4;

// A page gets each second, as in a real cook: what the hub waits for, 25 ms, is half a minute of this clock.
// Its heartbeat goes by this clock too.
const push = handTimer();
const heartbeat = handTimer();
const bench = openSession(undefined, undefined, { soon: push.set });
const { session, clock, store, live } = bench;
const line = createLine(live, () => ({ status: 101, who: 'bench' }), heartbeat.set);
// Routes and their schemas are a part of a server's memory.
const access = createAccess({
  shelf: store,
  clock,
  identity: localIdentity(join(bench.folder, 'authority'), Date.now()),
  port: () => 0,
  show: () => {},
  revoked: () => {},
});
const app = buildApp(apiRoutes({ ...bench, version: '0.0.0' }), bench.folder, '0.0.0', access);
await app.ready();
const server = createServer().listen(0, '127.0.0.1');
await once(server, 'listening');
line.serve(server);
const page = new WebSocket(`ws://127.0.0.1:${(server.address() as AddressInfo).port}/api/live`); // a TCP server has one
const CHANGE = '{"type":"change"';
let changes = 0;
page.on('message', (text: Buffer) => {
  if (text.toString('latin1', 0, CHANGE.length) === CHANGE) changes++;
});
const isBehind = (expected: number): boolean => changes < expected;
page.on('close', () => {
  throw new Error('the page was left behind');
});
await once(page, 'open');

function feed(channel: 'stone' | 'dome', celsius: number): void {
  const line = { t: session.t(), source: 'http', channel, celsius: Number(celsius.toFixed(1)) } as const;
  for (const { channel, t, celsius, quality } of session.apply(line))
    live.publish(session, [[channel, t, celsius, quality]]);
}

session.begin(clock.wall());
for (let s = 1; s <= HOURS * 3600; s++) {
  clock.at += 1000;
  const noise = ((s * 7919) % 13) / 13 - 0.5;
  // A fire that is held, with a dip every quarter of an hour, as a pizza makes.
  const stone = 20 + 250 * (1 - Math.exp(-s / 1500)) - (s % 900 < 200 && s > 5000 ? 20 : 0);
  feed('stone', stone + noise);
  feed('dome', stone + 5 + noise);
  session.advance();
  push.fire();
  if (s % HEARTBEAT_SECONDS === 0) heartbeat.fire();
  if (s % BREATH === 0) {
    await store.persisted();
    // What the page answers to a heartbeat is to be read too.
    do await pause(1);
    while (isBehind(s));
  }
  if (s % 3600 === 0) {
    globalThis.gc?.();
    const { rss, heapUsed } = process.memoryUsage();
    console.log(JSON.stringify({ hour: s / 3600, rss: rss / 1e6, heap: heapUsed / 1e6 }));
  }
}
process.exit(0);
