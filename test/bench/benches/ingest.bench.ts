import Database from 'better-sqlite3';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openStore } from '../../../server/store/sqlite.ts';
import { median, type Bench } from '../bench.ts';
import { headerOf } from '../../support/header.ts';

const READINGS = 50_000;
const BATCH = 500;
const header = headerOf({ channels: [{ id: 'stone', role: 'stone' }] });
/** Made beforehand: what is measured is the keeping. */
const given = Array.from({ length: READINGS }, (_, t) => {
  const line = { t, channel: 'stone', celsius: 200 + (t % 50) };
  return { line, reading: { ...line, at: t * 1000, quality: 'good' as const } };
});
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
    for (const { line, reading } of given) {
      store.addLine(id, line);
      store.addReading(id, reading);
      if (line.t % BATCH === BATCH - 1) await store.persisted();
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
    for (const { line: l, reading: r } of given.slice(first, first + BATCH)) {
      line.run(1, l.t, l.t, JSON.stringify(l));
      reading.run(1, r.channel, r.at, r.t, r.t, r.celsius, r.quality, null);
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
