import Database from 'better-sqlite3';
import {
  closeSync,
  copyFileSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { backUp } from '../../server/store/repair/copy.ts';
import type { Store } from '../../server/store/store.ts';
import { call, scratch, startServer } from '../support/server.ts';
import { handClock, openSession, storeIn } from '../support/session.ts';
import { headerOf } from '../support/header.ts';

const START = Date.parse('2026-05-02T16:00:00.000Z');
const header = headerOf({
  startedAt: new Date(START).toISOString(),
  channels: [{ id: 'stone', role: 'stone' }],
});
const repairClock = { now: () => Date.parse('2026-06-01T17:00:00Z') };
const LOG_LENGTH = 400_000;

/** Acknowledged one batch after the other; the value says when. */
async function add(store: Store, from: number, to: number): Promise<void> {
  for (let t = from; t < to; t++) {
    store.addReading(1, { t, at: START + t * 1000, channel: 'stone', celsius: t / 10, quality: 'good' });
    if (t % 50 === 49) await store.persisted();
  }
  await store.persisted();
}
const readingsOf = (store: Store): (number | null)[] => store.readings(1, {}).map(({ celsius }) => celsius);
const upTo = (n: number): number[] => Array.from({ length: n }, (_, t) => t / 10);
const without = (folder: string, ...ends: string[]): void =>
  ends.forEach((end) => rmSync(join(folder, DATABASE_NAME + end)));

/** A folder in use by a server, an older backup of it, and what was acknowledged since. */
async function inUse(): Promise<{ folder: string; file: string; backup: string; store: Store }> {
  const folder = scratch();
  const store = storeIn(folder, repairClock);
  store.startCook({ name: 'Held', startedAt: START, rehearsal: false, header });
  await add(store, 0, 1000);
  const backup = join(scratch(), 'older.sqlite');
  await backUp(folder, backup, () => {});
  await add(store, 1000, 2000);
  return { folder, file: join(folder, DATABASE_NAME), backup, store };
}

describe('given a database in use, when another program', () => {
  it.each<[string, (at: { folder: string; file: string; backup: string }) => void]>([
    ['deletes it', ({ folder }) => without(folder, '')],
    ['deletes it with its log', ({ folder }) => without(folder, '', '-wal', '-shm')],
    ['deletes its log alone', ({ folder }) => without(folder, '-wal')],
    ['deletes the index of its log', ({ folder }) => without(folder, '-shm')],
    ['puts a backup in its place', ({ file, backup }) => renameSync(backup, file)],
    ['copies a backup over it', ({ file, backup }) => writeFileSync(file, readFileSync(backup))],
    ['cuts it', ({ file }) => truncateSync(file, 0)],
    ['cuts its log', ({ file }) => truncateSync(`${file}-wal`, LOG_LENGTH)],
  ])(
    '%s, it goes on, says so, and has all that was acknowledged, also after a start',
    async (_name, meddle) => {
      const { store, ...at } = await inUse();
      meddle(at);
      await add(store, 2000, 2200);
      expect(store.repairNote()).toMatch(/another program .* while it was in use/);
      expect(readingsOf(store)).toEqual(upTo(2200));
      store.close();
      const again = storeIn(at.folder, repairClock);
      expect(again.repairNote()).toBeNull();
      expect(readingsOf(again)).toEqual(upTo(2200));
      again.close();
      const db = new Database(at.file, { readonly: true });
      expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
      db.close();
      expect(readdirSync(at.folder).filter((name) => name.startsWith('peelside-repair-'))).toEqual([]);
    },
  );

  it('writes over a part of its log, it says so, and has what the rest of the log holds and all that comes', async () => {
    const { store, folder, file } = await inUse();
    const log = openSync(`${file}-wal`, 'r+');
    writeSync(log, Buffer.alloc(LOG_LENGTH / 4, 0x5a), 0, LOG_LENGTH / 4, LOG_LENGTH / 4);
    closeSync(log);
    await add(store, 2000, 2200);
    expect(store.repairNote()).toMatch(/another program .* while it was in use/);
    const found = readingsOf(store);
    expect(found.slice(-200)).toEqual(upTo(2200).slice(2000));
    expect(upTo(2200)).toEqual(expect.arrayContaining(found));
    store.close();
    const db = new Database(file, { readonly: true });
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    db.close();
    const again = storeIn(folder, repairClock);
    expect(readingsOf(again)).toEqual(found);
    again.close();
  });

  it.each([0, 100, 4096])(
    'cuts the index of its log to %i B, the server goes on and has all that was acknowledged, also after a kill',
    async (length) => {
      const server = await startServer();
      const post = (from: number, to: number) => {
        const readings = upTo(to)
          .slice(from)
          .map((celsius) => ({ channel: 'stone', celsius }));
        return call(server.url, 'POST', '/api/readings', { readings });
      };
      const celsiusAt = async (url: string): Promise<number[]> => {
        const { body } = await call(url, 'GET', '/api/cooks/1/readings');
        return (body as { readings: { celsius: number }[] }).readings.map(({ celsius }) => celsius);
      };
      await post(0, 500);
      truncateSync(join(server.data, `${DATABASE_NAME}-shm`), length);
      expect(await celsiusAt(server.url)).toEqual(upTo(500));
      truncateSync(join(server.data, `${DATABASE_NAME}-shm`), length);
      expect((await post(500, 1000)).status).toBe(202);
      expect(await celsiusAt(server.url)).toEqual(upTo(1000));
      await server.stop('SIGKILL');
      const again = await startServer([], server.data);
      expect(await celsiusAt(again.url)).toEqual(upTo(1000));
      await again.stop();
    },
  );

  it('puts a backup in its place, that one is set aside as it was', async () => {
    const { store, folder, file, backup } = await inUse();
    const was = readFileSync(backup);
    renameSync(backup, file);
    await add(store, 2000, 2050);
    const aside = readdirSync(folder).find((name) => /^peelside-replaced-.*\.sqlite$/.test(name)) ?? '';
    expect(store.repairNote()).toContain(`"peelside restore ${join(folder, aside)}"`);
    expect(readFileSync(join(folder, aside)).equals(was)).toBe(true);
  });

  it('deletes it hours into a cook, the page says so for 15 min from then', async () => {
    const bench = openSession(scratch(), handClock(), { repairs: true });
    const warning = (): string | null => bench.session.now().notKept;
    await bench.session.startCook({});
    await bench.store.persisted();
    bench.clock.at += 3 * 3600_000;
    expect(warning()).toBeNull();
    without(bench.folder, '');
    bench.store.putSetting('settings', { unit: 'F' });
    await bench.store.persisted();
    expect(warning()).toMatch(/another program/);
    bench.clock.at += 14 * 60_000;
    expect(warning()).toMatch(/another program/);
    bench.clock.at += 2 * 60_000;
    expect(warning()).toBeNull();
  });

  it.each<[string, (folder: string, file: string) => Promise<void> | void]>([
    ['makes a backup', async (folder) => void (await backUp(folder, join(scratch(), 'b.sqlite'), () => {}))],
    ['copies it away', (_folder, file) => copyFileSync(file, join(scratch(), 'b.sqlite'))],
    [
      'copies its log into it',
      (_folder, file) => {
        const db = new Database(file);
        db.pragma('wal_checkpoint(PASSIVE)');
        db.close();
      },
    ],
    [
      'adds a cook by a store of its own',
      async (folder) => {
        const other = storeIn(folder);
        other.startCook({ name: 'Brought in', startedAt: START, rehearsal: true, header });
        await other.persisted();
        other.close();
      },
    ],
  ])('%s, nothing is said and nothing set aside', async (_name, use) => {
    const { store, folder, file } = await inUse();
    await use(folder, file);
    await add(store, 2000, 2100);
    expect(store.repairNote()).toBeNull();
    expect(readingsOf(store)).toEqual(upTo(2100));
    store.close();
    expect(readdirSync(folder)).toEqual([DATABASE_NAME]);
  });
});
