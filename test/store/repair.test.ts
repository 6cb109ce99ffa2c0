import Database from 'better-sqlite3';
import {
  closeSync,
  openSync,
  readFileSync,
  readdirSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { openStore } from '../../server/store/sqlite.ts';
import type { Store } from '../../server/store/store.ts';
import { createRandom } from '../simulator/random.ts';
import { scratch } from '../support/server.ts';
import { storeIn } from '../support/session.ts';
import { headerOf } from '../support/header.ts';

const PAGE = 4096;
const READINGS = 6000;
const header = headerOf();
const START = Date.parse(header.startedAt);
const repairClock = { now: () => Date.parse('2026-06-01T17:00:00Z') };

/**
 * A cook whose every reading says by its value when it was taken, so that a recovered reading can be
 * distinguished from a wrong one.
 */
function filled(): { folder: string; file: string; size: number } {
  const folder = scratch();
  const store = storeIn(folder);
  const id = store.startCook({ name: 'Damaged', startedAt: START, rehearsal: false, header });
  for (let t = 0; t < READINGS; t++)
    for (const channel of ['stone', 'dome']) {
      store.addLine(id, { t, channel, celsius: t / 100 });
      store.addReading(id, { t, at: START + t * 1000, channel, celsius: t / 100, quality: 'good' });
    }
  store.putSetting('settings', { unit: 'F' });
  store.close();
  const file = join(folder, DATABASE_NAME);
  return { folder, file, size: statSync(file).size };
}
function overwrite(file: string, from: number, bytes: Buffer): void {
  const handle = openSync(file, 'r+');
  writeSync(handle, bytes, 0, bytes.length, from);
  closeSync(handle);
}
const quarantinedIn = (folder: string): string[] =>
  readdirSync(folder).filter((name) => name.includes('damaged'));
const trueReadings = (store: Store): number => {
  const all = store.readings(1, {});
  for (const r of all) expect(r.celsius).toBe(r.t / 100);
  return all.length;
};

describe('a damaged database is set aside, and what can be read is read back', () => {
  it.each([
    // A page of 4096 bytes holds some 60 readings or lines; a run of damage costs them and their neighbours.
    ['one page in the middle', 0.5, 1],
    ['a run of pages', 0.3, 20],
    ['the last page', 0.999, 1],
  ])('%s', (_what, place, pages) => {
    const { folder, file, size } = filled();
    const from = Math.floor((size * place) / PAGE) * PAGE;
    overwrite(file, from, Buffer.alloc(pages * PAGE, 0xa5));
    const was = readFileSync(file);
    const store = storeIn(folder, repairClock);
    expect(store.repairNote()).toMatch(/set aside whole as peelside-damaged-2026-06-01T170000\.sqlite/);
    expect(readFileSync(join(folder, quarantinedIn(folder)[0] ?? '')).equals(was)).toBe(true);
    const lines = [...store.lines(1)].length;
    const lost = 4 * READINGS - lines - trueReadings(store);
    expect(lost).toBeLessThan((pages + 2) * 150);
    expect(store.cook(1)?.name).toBe('Damaged');
    store.close();
    const db = new Database(file);
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(db.pragma('foreign_key_check')).toEqual([]);
    db.close();
    expect(openStore(folder).repairNote()).toBeNull();
  });

  it('the first page, by which SQLite knows the tables', () => {
    const { folder, file } = filled();
    overwrite(file, 0, Buffer.alloc(PAGE));
    const store = storeIn(folder, repairClock);
    expect(store.repairNote()).toMatch(/set aside/);
    expect([...store.lines(1)]).toHaveLength(2 * READINGS);
    expect(trueReadings(store)).toBe(2 * READINGS);
    expect(store.setting('settings')).toEqual({ unit: 'F' });
  });

  it('a file cut off half way', () => {
    const { folder, file, size } = filled();
    truncateSync(file, Math.floor(size / 2));
    const store = storeIn(folder, repairClock);
    expect(store.repairNote()).toMatch(/set aside/);
    expect(trueReadings(store) + [...store.lines(1)].length).toBeGreaterThan(READINGS / 2);
  });

  it('random bytes at random places, never a throw and never a wrong value', () => {
    const random = createRandom(20260601);
    for (let round = 0; round < 4; round++) {
      const { folder, file, size } = filled();
      for (let n = 0; n < 4; n++) {
        const bytes = Buffer.from(Array.from({ length: 600 }, () => Math.floor(random.next() * 256)));
        overwrite(file, PAGE + Math.floor(random.next() * (size - 2 * PAGE)), bytes);
      }
      const store = storeIn(folder, repairClock);
      expect(store.readings(1, {}).length).toBeGreaterThan(READINGS);
      store.addLine(1, { t: READINGS + 1, channel: 'stone', celsius: 1 });
      store.close();
    }
  });

  it('a file that is no database at all is kept under its new name', () => {
    const folder = scratch();
    const text = 'not a database, but long enough to be looked at'.repeat(200);
    writeFileSync(join(folder, DATABASE_NAME), text);
    const store = storeIn(folder, repairClock);
    expect(store.cooks()).toEqual([]);
    expect(readFileSync(join(folder, quarantinedIn(folder)[0] ?? ''), 'utf8')).toBe(text);
  });

  it('is left as it is by who does not hold the folder', () => {
    const { folder, file } = filled();
    overwrite(file, 0, Buffer.alloc(PAGE));
    const was = readFileSync(file);
    expect(() => openStore(folder)).toThrow(/is damaged .*peelside serve/);
    expect(readFileSync(file).equals(was)).toBe(true);
    expect(quarantinedIn(folder)).toEqual([]);
  });

  it('goes on when the damage happens while it serves, with what is added after', async () => {
    const { folder, file, size } = filled();
    const store = storeIn(folder, repairClock);
    // A change by another connection empties the cache, so that the next read meets the disk.
    const other = new Database(file);
    other.exec("INSERT INTO setting VALUES ('other', '1')");
    other.close();
    overwrite(file, PAGE, Buffer.alloc(size - PAGE, 0xa5));
    expect(store.readings(1, {}).length).toBeLessThan(2 * READINGS);
    const id = store.startCook({ name: 'After', startedAt: START, rehearsal: false, header });
    store.addReading(id, { t: 1, at: START + 1000, channel: 'stone', celsius: 7, quality: 'good' });
    await store.persisted();
    expect(store.repairNote()).toMatch(/set aside/);
    expect(store.readings(id, {}).map((r) => r.celsius)).toEqual([7]);
  });
});
