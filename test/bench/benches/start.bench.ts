import { spawn } from 'node:child_process';
import Database from 'better-sqlite3';
import { once } from 'node:events';
import { rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { RecordingHeader } from '../../../shared/recording.ts';
import { DATABASE_NAME } from '../../../server/store/database.ts';
import { openStore } from '../../../server/store/sqlite.ts';
import { call, root, scratch, startServer } from '../../support/server.ts';
import { UNWATCHED, median, type Bench, type Row } from '../bench.ts';
import { headerOf } from '../../support/header.ts';

const HOURS = 8;
const ROUNDS = 5;

/** A cook of two channels at 1 Hz that is still on, as a killed server leaves it. */
async function longCook(): Promise<string> {
  const folder = scratch();
  const store = openStore(folder);
  const startedAt = Date.now() - HOURS * 3600_000;
  const header: RecordingHeader = headerOf({ startedAt: new Date(startedAt).toISOString() });
  const id = store.startCook({ name: 'Long', startedAt, rehearsal: false, header });
  for (let t = 0; t < HOURS * 3600; t++) {
    const stone = 20 + 250 * (1 - Math.exp(-t / 1500)) + (((t * 7919) % 13) / 13 - 0.5);
    for (const [channel, celsius] of [
      ['stone', stone],
      ['dome', stone + 5],
    ] as const) {
      const rounded = Number(celsius.toFixed(1));
      store.addLine(id, { t, source: 'http', channel, celsius: rounded });
      store.addReading(id, { t, at: startedAt + t * 1000, channel, celsius: rounded, quality: 'good' });
    }
    if (t % 5000 === 0) await store.persisted();
  }
  store.close();
  return folder;
}

const HISTORY_BYTES = 2e9;
const COOK_SECONDS = 8 * 3600;

/** Years of cooks that are over, 2 GB of them, invented: written past the store, which would take minutes. */
function longHistory(): string {
  const folder = scratch();
  openStore(folder).close();
  const file = join(folder, DATABASE_NAME);
  const db = new Database(file);
  db.pragma('journal_mode = OFF');
  db.pragma('synchronous = OFF');
  const header = JSON.stringify(headerOf({ startedAt: '2020-05-02T16:00:00.000Z' }));
  const cook = db.prepare(
    "INSERT INTO cook (id, name, started_at, ended_at, header, picture) VALUES (?, 'Past', ?, ?, ?, '{}')",
  );
  const seconds = 'WITH RECURSIVE s (t) AS (SELECT 0 UNION ALL SELECT t + 1 FROM s WHERE t < ?)';
  const readings = db.prepare(
    `${seconds} INSERT INTO reading SELECT ?, 'stone', ? + t * 1000, t, t, 200 + t % 90, 'good', NULL FROM s`,
  );
  const lines = db.prepare(
    `${seconds} INSERT INTO line SELECT ?, t, t, json_object('t', t, 'source', 'ble', 'device', 'c4:00:00:00:00:01',
       'service', '1809', 'characteristic', '2a1c', 'bytes', '00070100ff') FROM s`,
  );
  for (let id = 1; statSync(file).size < HISTORY_BYTES; id++) {
    const start = Date.parse('2020-05-02T16:00:00Z') + id * 86_400_000;
    cook.run(id, start, start + COOK_SECONDS * 1000, header);
    readings.run(COOK_SECONDS, id, start);
    lines.run(COOK_SECONDS, id);
  }
  db.close();
  return folder;
}

/** A server on Node alone that opens a database: what no start can be faster than. */
const BARE = `
import Database from 'better-sqlite3';
import { createServer } from 'node:http';
new Database(process.argv[1]).exec('CREATE TABLE IF NOT EXISTS one (a)');
createServer().listen(0, '127.0.0.1', () => console.log('serves'));
`;

/** From spawn until the bare server serves, ms. */
async function bareMs(): Promise<number> {
  const began = performance.now();
  const child = spawn(process.execPath, ['--input-type=module', '-e', BARE, join(scratch(), 'bare.sqlite')], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  await once(child.stdout, 'data');
  const took = performance.now() - began;
  const gone = once(child, 'exit');
  child.kill('SIGKILL');
  await gone;
  return took;
}

type Start = { ms: number; ratio: number };
/** The ratio that it may have, and the figure in ms beside it. */
const rowsOf = (name: string, { ms, ratio }: Start, most: number): Row[] => [
  { name: `${name}, against a bare server on Node and SQLite`, value: ratio, unit: '×', budget: { most } },
  { name, value: ms, unit: 'ms' },
];

/** From spawn to the printed address, each beside a bare server's. */
async function started(data: string, wanted: (cook: unknown) => boolean): Promise<Start> {
  const times: number[] = [];
  const ratios: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const began = performance.now();
    const server = await startServer([], data, UNWATCHED);
    const took = performance.now() - began;
    const { body } = await call(server.url, 'GET', '/api/now');
    if (!wanted(body['cook'])) throw new Error('the cook is not the one that was left');
    const gone = once(server.process, 'exit');
    server.process.kill('SIGKILL');
    await gone;
    times.push(took);
    ratios.push(took / (await bareMs()));
  }
  return { ms: median(times), ratio: median(ratios) };
}

export const startBench: Bench = {
  name: 'start',
  async run() {
    const history = longHistory();
    const long = await started(history, (cook) => cook === null);
    rmSync(history, { recursive: true });
    const fresh = await started(scratch(), (cook) => cook === null);
    const again = await started(await longCook(), (cook) => cook !== null);
    return [
      ...rowsOf('start to serving, 2 GB of history kept', long, 4),
      ...rowsOf('start to serving, nothing kept yet', fresh, 4),
      ...rowsOf(`restart after kill -9 in hour ${HOURS} of 2 channels at 1 Hz, to serving`, again, 16),
    ];
  },
};
