import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { WebSocket, WebSocketServer } from 'ws';
import { createLine } from '../../../server/hub/socket.ts';
import { handTimer, openSession } from '../../support/session.ts';
import { cpuMs, median, type Bench } from '../bench.ts';

const PAGES = 50;
/** So many that the few first ones, drawn while V8 still compiles for this cook, are as few as in a server that runs for hours. */
const MESSAGES = 2000;
const ROUNDS = 5;
/** Not counted: a server runs for hours, compiled, and the bare counterpart has next to nothing to compile. */
const WARMING = 3;

async function listening(): Promise<{ server: ReturnType<typeof createServer>; url: string }> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo; // a TCP server has one
  return { server, url: `ws://127.0.0.1:${port}/api/live` };
}

/** Pages that count what they get; `all` resolves once each has had `wanted` more messages. */
async function pages(
  url: string,
): Promise<{ all(wanted: number): Promise<void>; texts: string[]; close(): void }> {
  const texts: string[] = [];
  let got = 0;
  let due = Infinity;
  let tell = (): void => {};
  const sockets = Array.from({ length: PAGES }, (_, i) => {
    const ws = new WebSocket(url);
    ws.on('message', (data: Buffer) => {
      if (i === 0) texts.push(data.toString());
      if (++got >= due) tell();
    });
    return ws;
  });
  await Promise.all(sockets.map((ws) => once(ws, 'open')));
  return {
    texts,
    all(wanted) {
      due = got + wanted * PAGES;
      return new Promise((resolve) => (tell = resolve));
    },
    close: () => sockets.forEach((ws) => ws.terminate()),
  };
}

/** What the process worked, ms: pages and server both, without the time that other programs took from it. */
async function timed(work: () => void, end: Promise<void>): Promise<number> {
  const start = cpuMs();
  work();
  await end;
  return cpuMs() - start;
}

/** Our hub on a cook that is on: the document drawn, compared, and what changed sent to all. */
async function ours(): Promise<{ took: number; texts: string[] }> {
  const push = handTimer();
  const bench = openSession(undefined, undefined, { soon: push.set });
  await bench.session.rehearse('good-evening', 1, { t: 4000 });
  const { live } = bench;
  const { server, url } = await listening();
  const line = createLine(live, () => ({ status: 101, who: 'bench' }));
  line.serve(server);
  const group = await pages(url);
  await new Promise((resolve) => setTimeout(resolve, 100));
  group.texts.length = 0;
  const took = await timed(() => {
    for (let i = 0; i < MESSAGES; i++) {
      bench.clock.at += 100;
      bench.session.advance();
      live.publish(bench.session, [['stone', i, 260 + i / 100, 'good']]);
      push.fire();
    }
  }, group.all(MESSAGES));
  group.close();
  line.stop();
  server.close();
  bench.store.close();
  return { took, texts: group.texts };
}

/** The same texts by ws alone. */
async function bare(texts: readonly string[]): Promise<number> {
  const { server, url } = await listening();
  const sockets = new WebSocketServer({ server, perMessageDeflate: false });
  const group = await pages(url);
  const took = await timed(() => {
    for (const text of texts) for (const ws of sockets.clients) ws.send(text);
  }, group.all(texts.length));
  group.close();
  sockets.close();
  server.close();
  return took;
}

export const broadcastBench: Bench = {
  name: 'broadcast',
  async run() {
    const ratios: number[] = [];
    let rate = 0;
    for (let round = -WARMING; round < ROUNDS; round++) {
      const { took, texts } = await ours();
      const ratio = (await bare(texts.slice(0, MESSAGES))) / took;
      if (round < 0) continue;
      ratios.push(ratio);
      rate = (MESSAGES * PAGES) / (took / 1000);
    }
    return [
      {
        name: `broadcast to ${PAGES} pages, document drawn and compared, against bare ws`,
        value: median(ratios),
        unit: '×',
        budget: { least: 0.75 },
      },
      { name: 'broadcast, messages', value: rate, unit: 'a CPU second' },
    ];
  },
};
