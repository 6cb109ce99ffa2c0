// The server's inside through two days of a cook on a clock that runs as fast as it can, in a process of its own so that
// its memory is its own. Prints a line of JSON for each simulated hour.
import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { WebSocket } from 'ws';
import { createAccess } from '../../server/access/access.ts';
import { localIdentity } from '../../server/access/authority.ts';
import { ProbeBook } from '../../server/cook/probe-book.ts';
import { Reach } from '../../server/cook/reach.ts';
import { createLive } from '../../server/hub/live.ts';
import { createLine } from '../../server/hub/socket.ts';
import { buildApp } from '../../server/http/app.ts';
import { apiRoutes } from '../../server/http/routes/registry.ts';
import { openStage } from '../support/stage.ts';

const HOURS = 48;
/** Pages and disk get their turn so often, simulated s. */
const BREATH = 30;

const bench = openStage();
const { stage, clock, store } = bench;
// A page is told of each second as in a real cook: the hub's wait of 25 ms is half a minute on this clock.
let publish = (): void => {};
const never = setTimeout(() => {}, 0);
const live = createLive(
  () => stage.now(),
  (work) => {
    publish = work;
    return never;
  },
);
const line = createLine(live, () => ({ status: 101, who: 'bench' }));
const reach = new Reach({ sources: [], clock, frame: () => {}, changed: () => {} });
const parts = { ...bench, reach, probes: new ProbeBook(store, stage, reach), version: '0.0.0' };
// Routes and their schemas are a part of a server's memory.
const access = createAccess({
  shelf: store,
  clock,
  identity: localIdentity(join(bench.folder, 'authority'), Date.now()),
  port: () => 0,
  show: () => {},
  revoked: () => {},
});
const app = buildApp(apiRoutes(parts), bench.folder, '0.0.0', access);
await app.ready();
const server = createServer().listen(0, '127.0.0.1');
await once(server, 'listening');
line.serve(server);
const page = new WebSocket(`ws://127.0.0.1:${(server.address() as AddressInfo).port}/api/live`); // a TCP server has one
let messages = 0;
page.on('message', () => messages++);
await once(page, 'open');

stage.begin(clock.wall());
for (let s = 1; s <= HOURS * 3600; s++) {
  clock.at += 1000;
  const noise = ((s * 7919) % 13) / 13 - 0.5;
  // A fire that is held, with a dip every quarter of an hour, as a pizza makes.
  const stone = 20 + 250 * (1 - Math.exp(-s / 1500)) - (s % 900 < 200 && s > 5000 ? 20 : 0);
  const readings = (['stone', 'dome'] as const).flatMap((channel, i) =>
    stage.apply({
      t: stage.t(),
      source: 'http',
      channel,
      celsius: Number((stone + 5 * i + noise).toFixed(1)),
    }),
  );
  live.changed(readings.map(({ channel, t, celsius, quality }) => [channel, t, celsius, quality]));
  stage.beat();
  publish();
  if (s % BREATH === 0) {
    await store.kept();
    while (messages < s) await pause(1);
  }
  if (s % 3600 === 0) {
    globalThis.gc?.();
    const { rss, heapUsed } = process.memoryUsage();
    console.log(JSON.stringify({ hour: s / 3600, rss: rss / 1e6, heap: heapUsed / 1e6, messages }));
  }
}
process.exit(0);
