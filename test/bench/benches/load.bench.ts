import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { Agent, request } from 'node:http';
import { WebSocket } from 'ws';
import type { LiveMessage } from '../../../shared/api/live.ts';
import { call, scratch, startServer, until, type Server } from '../../support/server.ts';
import { startBareServer } from '../bare/bare-server.ts';
import { UNWATCHED, type Bench, type Row } from '../bench.ts';

const SOURCES = 60;
const HERTZ = 10;
const PAGES = 50;
const SECONDS = Number(process.env['LOAD_SECONDS'] ?? 20);

type Page = { ws: WebSocket; seen: Map<number, number>; snapshots: number };

/** A page; one that looks notes when each value came, the others take what comes as a browser would. */
async function openPage(url: string, looks: boolean): Promise<Page> {
  const page: Page = {
    ws: new WebSocket(`${url.replace('http', 'ws')}/api/live`),
    seen: new Map(),
    snapshots: 0,
  };
  page.ws.on('message', (data: Buffer) => {
    if (!looks) return;
    const came = performance.now();
    const message = JSON.parse(data.toString()) as LiveMessage; // our own server's
    if (message.type === 'snapshot') page.snapshots += 1;
    if (message.type === 'change')
      for (const [, , celsius] of message.readings) page.seen.set(Math.round((celsius ?? 0) * 1000), came);
  });
  await once(page.ws, 'open');
  return page;
}

function post(agent: Agent, url: string, value: number): Promise<number> {
  const body = JSON.stringify({
    readings: [{ channel: value % 2 ? 'stone' : 'dome', celsius: value / 1000 }],
  });
  const headers = { 'content-type': 'application/json', 'content-length': Buffer.byteLength(body) };
  return new Promise((resolve, reject) => {
    const sent = request(`${url}/api/readings`, { method: 'POST', agent, headers }, (answer) => {
      answer.resume();
      answer.on('end', () => resolve(answer.statusCode ?? 0));
    });
    sent.on('error', reject);
    sent.end(body);
  });
}

const megabytes = (server: Server): number =>
  Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${server.process.pid}/status`, 'utf8'))?.[1]) / 1000;

type Loaded = { sent: Map<number, number>; accepted: number };

/** Sources that speak ten times a second each, spread over the tenth. */
async function load(url: string, first: number, measure = (): void => {}): Promise<Loaded> {
  const agent = new Agent({ keepAlive: true, maxSockets: SOURCES });
  const sent = new Map<number, number>();
  const answers: Promise<number>[] = [];
  const total = SECONDS * HERTZ * SOURCES;
  const start = performance.now();
  for (let n = 0; n < total;) {
    const due = ((performance.now() - start) / 1000) * HERTZ * SOURCES;
    for (; n < Math.min(total, due); n++) {
      sent.set(first + n, performance.now());
      answers.push(post(agent, url, first + n));
    }
    measure();
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  const statuses = await Promise.all(answers);
  agent.destroy();
  return { sent, accepted: statuses.filter((status) => status === 202).length };
}

function latency({ sent }: Loaded, page: Page, part: number): number {
  const all = [...sent].map(([value, at]) => (page.seen.get(value) ?? Infinity) - at).sort((a, b) => a - b);
  return all[Math.min(all.length - 1, Math.floor(all.length * part))] ?? Number.NaN;
}

/** MB a minute, by least squares over the second half. */
function slope(memory: readonly number[]): number {
  const half = memory.slice(memory.length >> 1);
  const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
  const at = half.map((_, i) => i);
  const [middle, level] = [mean(at), mean(half)];
  const over = at.reduce((sum, x, i) => sum + (x - middle) * ((half[i] ?? 0) - level), 0);
  return (60 * over) / at.reduce((sum, x) => sum + (x - middle) ** 2, 0);
}

/** The same sources and pages at the bare server: source to page, p99, ms. */
async function bareP99(): Promise<number> {
  const server = await startBareServer();
  const pages = await Promise.all(Array.from({ length: PAGES }, (_, i) => openPage(server.url, i === 0)));
  const [looking] = pages;
  const loaded = await load(server.url, 20_000);
  await new Promise((resolve) => setTimeout(resolve, 500));
  for (const { ws } of pages) ws.terminate();
  await server.stop();
  return looking ? latency(loaded, looking, 0.99) : Number.NaN;
}

/** Resident memory of a server, MB, each second that it is asked for. */
function memoryOf(server: Server): { each: number[]; measure(): void } {
  const each: number[] = [];
  const start = performance.now();
  return {
    each,
    measure() {
      if (each.length < (performance.now() - start) / 1000) each.push(megabytes(server));
    },
  };
}

export const loadBench: Bench = {
  name: 'load',
  async run(): Promise<Row[]> {
    const server = await startServer([], scratch(), UNWATCHED);
    const pages = await Promise.all(Array.from({ length: PAGES }, (_, i) => openPage(server.url, i === 0)));
    const looking = pages[0] ?? (await openPage(server.url, true));
    const free = await load(server.url, 20_000);
    const stalled = await openPage(server.url, true);
    stalled.ws.pause();
    const memory = memoryOf(server);
    const held = await load(server.url, 20_000 + free.sent.size, memory.measure);
    const all = free.sent.size + held.sent.size;
    await until(
      () => Promise.resolve(looking.seen.size),
      (n) => n >= all,
      5,
    ).catch(() => 0);
    const stored = (await call(server.url, 'GET', '/api/cooks/1/readings')).body['readings'] as unknown[];
    for (const { ws } of [...pages, stalled]) ws.terminate();
    await server.stop('SIGKILL');
    const bare = await bareP99();
    const what = `${SOURCES} sources × ${HERTZ} Hz, ${PAGES} pages`;
    return [
      {
        name: `${what}: readings lost`,
        value: Math.max(all - stored.length, all - looking.seen.size, all - free.accepted - held.accepted),
        unit: `of ${all}`,
        budget: { most: 0 },
      },
      { name: `${what}: source to page, median`, value: latency(free, looking, 0.5), unit: 'ms' },
      { name: `${what}: source to page, p99`, value: latency(free, looking, 0.99), unit: 'ms' },
      {
        name: `${what}: source to page, p99, against a bare server`,
        value: latency(free, looking, 0.99) / bare,
        unit: '×',
        budget: { most: 2 },
      },
      {
        name: `${what}, one page stalled: source to page, p99, against a bare server`,
        value: latency(held, looking, 0.99) / bare,
        unit: '×',
        budget: { most: 2 },
      },
      {
        name: 'server, resident memory at the end',
        value: memory.each.at(-1) ?? 0,
        unit: 'MB',
        budget: { most: 150 },
      },
      { name: 'server, resident memory under load, slope', value: slope(memory.each), unit: 'MB/min' },
    ];
  },
};
