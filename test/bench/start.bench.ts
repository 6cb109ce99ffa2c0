import Database from 'better-sqlite3';
import { once } from 'node:events';
import { rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { RecordingHeader } from '../../shared/recording.ts';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { call, scratch, startServer } from '../support/server.ts';
import { median, type Bench } from './bench.ts';

const HOURS = 8;
const ROUNDS = 5;

/** A cook of two channels at 1 Hz that is still on, as a killed server leaves it. */
async function longCook(): Promise<string> {
  const folder = scratch();
  const store = openStore(folder);
  const startedAt = Date.now() - HOURS * 3600_000;
  const header: RecordingHeader = {
    recording: 1,
    startedAt: new Date(startedAt).toISOString(),
    channels: [
      { id: 'stone', role: 'stone' },
      { id: 'dome', role: 'dome' },
    ],
    targets: {},
    probes: [],
  };
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
    if (t % 5000 === 0) await store.kept();
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
  const header = JSON.stringify({
    recording: 1,
    startedAt: '2020-05-02T16:00:00.000Z',
    channels: [{ id: 'stone', role: 'stone' }],
    targets: {},
    probes: [],
  });
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

/** From spawn to the printed address, ms. */
async function startMs(data: string, wanted: (cook: unknown) => boolean): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const began = performance.now();
    const server = await startServer([], data);
    times.push(performance.now() - began);
    const { body } = await call(server.url, 'GET', '/api/now');
    if (!wanted(body['cook'])) throw new Error('the cook is not the one that was left');
    const gone = once(server.process, 'exit');
    server.process.kill('SIGKILL');
    await gone;
  }
  return median(times);
}

export const startBench: Bench = {
  name: 'start',
  async run() {
    const history = longHistory();
    const long = await startMs(history, (cook) => cook === null);
    rmSync(history, { recursive: true });
    return [
      {
        name: 'start to serving, 2 GB of history kept',
        value: long,
        unit: 'ms',
        budget: { most: 600 },
      },
      {
        name: 'start to serving, nothing kept yet',
        value: await startMs(scratch(), (cook) => cook === null),
        unit: 'ms',
        budget: { most: 600 },
      },
      {
        name: `restart after kill -9 in hour ${HOURS} of 2 channels at 1 Hz, to serving`,
        value: await startMs(await longCook(), (cook) => cook !== null),
        unit: 'ms',
        budget: { most: 2000 },
      },
    ];
  },
};
