import Database from 'better-sqlite3';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { RecordingHeader } from '../../shared/recording.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { median, type Bench } from './bench.ts';

const READINGS = 50_000;
const BATCH = 500;
const header: RecordingHeader = {
  recording: 1,
  startedAt: '2026-05-02T16:00:00.000Z',
  channels: [{ id: 'stone', role: 'stone' }],
  targets: {},
  probes: [],
};
const scratch = (): string => mkdtempSync(join(tmpdir(), 'peelside-bench-'));
const elapsed = async (work: () => Promise<void> | void): Promise<number> => {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
};

/** What the store does for a reading: its raw line and the reading itself, batched, committed, the same settings. */
async function ours(): Promise<number> {
  const store = openStore(scratch());
  const id = store.startCook({ name: '', startedAt: 0, rehearsal: false, header });
  const took = await elapsed(async () => {
    for (let i = 0; i < READINGS; i++) {
      const line = { t: i, channel: 'stone', celsius: 200 + (i % 50) };
      store.addLine(id, line);
      store.addReading(id, { ...line, at: i * 1000, quality: 'good' });
      if (i % BATCH === BATCH - 1) await store.kept();
    }
  });
  store.close();
  return took;
}

/** The same two rows by better-sqlite3 alone, in transactions of the same size. */
function bare(): Promise<number> {
  const db = new Database(join(scratch(), 'bare.sqlite'));
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.exec(
    'CREATE TABLE line (cook INTEGER, seq INTEGER, t REAL, body TEXT, PRIMARY KEY (cook, seq)) WITHOUT ROWID;' +
      'CREATE TABLE reading (cook INTEGER, channel TEXT, at INTEGER, seq INTEGER, t REAL, celsius REAL, quality TEXT, reason TEXT, PRIMARY KEY (cook, channel, at, seq)) WITHOUT ROWID',
  );
  const line = db.prepare('INSERT INTO line VALUES (?, ?, ?, ?)');
  const reading = db.prepare('INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
  const batch = db.transaction((first: number) => {
    for (let i = first; i < first + BATCH; i++) {
      line.run(1, i, i, JSON.stringify({ t: i, channel: 'stone', celsius: 200 + (i % 50) }));
      reading.run(1, 'stone', i * 1000, i, i, 200 + (i % 50), 'good', null);
    }
  });
  const took = elapsed(() => {
    for (let i = 0; i < READINGS; i += BATCH) batch(i);
  });
  return took.finally(() => db.close());
}

export const ingestBench: Bench = {
  name: 'ingest',
  async run() {
    const ratios: number[] = [];
    let rate = 0;
    for (let round = 0; round < 5; round++) {
      const mine = await ours();
      ratios.push((await bare()) / mine);
      rate = READINGS / mine;
    }
    return [
      {
        name: 'ingest, readings kept against bare batched better-sqlite3',
        value: median(ratios),
        unit: '×',
        budget: { least: 0.5 },
      },
      { name: 'ingest, readings kept', value: rate, unit: 'a second' },
    ];
  },
};
