import Database from 'better-sqlite3';
import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { withBreaths } from '../../server/store/breath.ts';
import { atOnce } from '../../shared/work/in-pieces.ts';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { SCHEMA_VERSION } from '../../server/store/migrations.ts';
import { openStore } from '../../server/store/sqlite.ts';
import type { Store } from '../../server/store/store.ts';
import { createRandom } from '../simulator/random.ts';
import { storeIn } from '../support/session.ts';
import { headerOf } from '../support/header.ts';

let folder: string;
let store: Store;
const header = headerOf({ channels: [{ id: 'stone', role: 'stone' }] });
const START = Date.parse(header.startedAt);
const begin = (): number => store.startCook({ name: 'A cook', startedAt: START, rehearsal: false, header });
const reading = (t: number, celsius: number | null) =>
  ({
    t,
    at: START + t * 1000,
    channel: 'stone',
    celsius,
    quality: celsius === null ? 'bad' : 'good',
  }) as const;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'peelside-store-'));
  store = storeIn(folder);
});

describe('the store', () => {
  it('gives back readings as they came, to the millisecond', async () => {
    const id = begin();
    store.addReading(id, reading(0.123, 21.25));
    store.addReading(id, { ...reading(12.5, null), reason: 'open circuit' });
    await store.persisted();
    expect(store.readings(id, {})).toEqual([
      { ...reading(0.123, 21.25) },
      { ...reading(12.5, null), reason: 'open circuit' },
    ]);
    expect(store.readings(id, { from: START + 1000 })).toHaveLength(1);
    expect(store.readings(id, { channel: 'dome' })).toEqual([]);
  });

  it('keeps two readings of the same millisecond', () => {
    const id = begin();
    store.addReading(id, reading(1, 20));
    store.addReading(id, reading(1, 21));
    expect(store.readings(id, {}).map((r) => r.celsius)).toEqual([20, 21]);
  });

  it('has what was acknowledged after it is opened again', async () => {
    const id = begin();
    store.addLine(id, { t: 1, channel: 'stone', celsius: 20 });
    store.putEvent(id, { id: 'e1', t: 2, event: { event: 'vent', note: 'a third' }, undone: false });
    store.putSetting('settings', { unit: 'F' });
    await store.persisted();
    const again = storeIn(folder);
    expect([...again.lines(id)]).toEqual([{ t: 1, channel: 'stone', celsius: 20 }]);
    expect(again.events(id)[0]?.event).toEqual({ event: 'vent', note: 'a third' });
    expect(again.setting('settings')).toEqual({ unit: 'F' });
    expect(again.runningCook()?.id).toBe(id);
  });

  it.each([true, false])(
    'has what was acknowledged in a database that a link leads to, there already: %s',
    async (isThere) => {
      const elsewhere = join(mkdtempSync(join(tmpdir(), 'peelside-disk-')), 'cooks.sqlite');
      if (isThere) writeFileSync(elsewhere, '');
      const linked = mkdtempSync(join(tmpdir(), 'peelside-store-'));
      symlinkSync(elsewhere, join(linked, DATABASE_NAME));
      for (const t of [0, 1]) {
        const store = openStore(linked, { now: () => START });
        if (t === 0) store.startCook({ name: 'Linked', startedAt: START, rehearsal: false, header });
        store.addReading(1, { t, at: START + t * 1000, channel: 'stone', celsius: 260 + t, quality: 'good' });
        await store.persisted();
        expect(store.readings(1, {}).map(({ celsius }) => celsius)).toEqual([260, 261].slice(0, t + 1));
        expect(store.repairNote()).toBeNull();
        store.close();
      }
      expect(statSync(elsewhere).size).toBeGreaterThan(0);
    },
  );

  it('copies a long log into the database by another thread, so that it does not grow without end', async () => {
    const sizeOf = (name: string): number => statSync(join(folder, name)).size;
    const id = begin();
    let written = 0;
    let longest = 0;
    while (written < 200e6) {
      for (let i = 0; i < 2000; i++)
        store.addLine(id, { t: i, channel: 'stone', celsius: 20, note: 'x'.repeat(999) });
      written += 2000 * 1000;
      await store.persisted();
      longest = Math.max(longest, sizeOf(`${DATABASE_NAME}-wal`));
    }
    expect(longest).toBeLessThan(60e6);
    expect(sizeOf(DATABASE_NAME)).toBeGreaterThan(written / 2);
    store.close();
    store = storeIn(folder);
    expect(store.lineCount(id)).toBe(written / 1000);
  });

  it('passes the integrity check of SQLite itself, with WAL', async () => {
    const id = begin();
    for (let t = 0; t < 2000; t++) store.addReading(id, reading(t, 20 + t / 10));
    await store.persisted();
    const db = new Database(join(folder, DATABASE_NAME));
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(db.pragma('foreign_key_check')).toEqual([]);
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    expect(db.pragma('user_version', { simple: true })).toBe(SCHEMA_VERSION);
    db.close();
  });

  it('removes a cook with all that hangs on it', async () => {
    const id = begin();
    store.addReading(id, reading(1, 20));
    store.removeCook(id);
    await store.persisted();
    expect(store.cook(id)).toBeNull();
    expect(store.readings(id, {})).toEqual([]);
  });

  /** Plain min-max over everything, with buckets of the same edges: what thinning is held against. */
  const plain = (all: readonly { t: number; celsius: number | null }[], width: number): number[][] => {
    const buckets = new Map<number, [number, number]>();
    for (const { t, celsius } of all) {
      if (celsius === null) continue;
      const [low, high] = buckets.get(Math.floor(t / width)) ?? [celsius, celsius];
      buckets.set(Math.floor(t / width), [Math.min(low, celsius), Math.max(high, celsius)]);
    }
    return [...buckets].map(([bucket, extremes]) => [bucket, ...extremes]);
  };
  const DAY = 24 * 3600;
  /** 600 buckets over so long are of 145 s, which are made of whole slots of 30 s: 150 s. */
  const WIDTH = 150;
  const POINTS = 1200;

  it('draws a day with every peak of a plain min-max, after a crash, late readings and a clock that was set too', async () => {
    const random = createRandom(20260610);
    const id = begin();
    const add = (t: number): void =>
      store.addReading(id, reading(t, random.between(0, 1) < 0.01 ? null : random.between(-20, 900)));
    for (let t = 0; t < DAY / 2; t++) add(t);
    await store.persisted();
    // A killed process closes nothing: the slots that were open in its memory are lost.
    store = storeIn(folder);
    for (let t = DAY / 2; t < DAY; t++) add(t);
    for (let n = 0; n < 200; n++) add(Math.floor(random.between(0, DAY)) + 0.5);
    await store.persisted();
    const held = (): void => {
      const all = store.readings(id, {}).sort((a, b) => a.t - b.t);
      const thin = atOnce(store.downsampled(id, {}, POINTS));
      expect(plain(thin, WIDTH)).toEqual(plain(all, WIDTH));
      expect(thin.filter((r) => r.celsius !== null).length).toBeLessThanOrEqual(POINTS + 2);
      expect([thin[0]?.t, thin.at(-1)?.t]).toEqual([all[0]?.t, all.at(-1)?.t]);
      expect(thin.some((r) => r.celsius === null)).toBe(true);
    };
    held();
    const late = 3 * 3600_000;
    store.redateCook(id, START, START + late);
    held();
    expect(
      atOnce(store.downsampled(id, { from: START + late, to: START + late + 3600_000 }, 40)).at(-1)?.t,
    ).toBe(3600);
  });

  it('draws what an older peelside stored, without extremes', async () => {
    const id = begin();
    for (let t = 0; t < DAY; t++) store.addReading(id, reading(t, ((t * 7919) % 1013) - 20));
    await store.persisted();
    store.close();
    const db = new Database(join(folder, DATABASE_NAME));
    expect(db.prepare('DELETE FROM peak').run().changes).toBeGreaterThan(0);
    db.close();
    store = storeIn(folder);
    const thin = atOnce(store.downsampled(id, {}, POINTS));
    expect(plain(thin, WIDTH)).toEqual(plain(store.readings(id, {}), WIDTH));
  });

  it('thins any number of readings of one moment in pieces of a page, without losing a peak', async () => {
    const id = begin();
    const many = 25_000;
    for (let i = 0; i < many; i++) store.addReading(id, reading(100, i === 617 ? 400 : 200 + (i % 7)));
    await store.persisted();
    let pieces = 0;
    function* counted() {
      const thinning = store.downsampled(id, {}, 40);
      for (let piece = thinning.next(); ; piece = thinning.next(), pieces++) {
        if (piece.done) return piece.value;
        yield;
      }
    }
    const thin = await withBreaths(counted());
    expect(pieces).toBeGreaterThanOrEqual(12);
    expect(thin.length).toBeLessThanOrEqual(42);
    expect(thin.some((r) => r.celsius === 400)).toBe(true);
  });

  it('draws a flood of readings from its slots, with every peak and both ends, after a crash too', async () => {
    const id = begin();
    const many = 60_000;
    const celsius = (i: number): number => (i === 31_000 ? 400 : i === 59_998 ? -5 : 200 + (i % 7));
    for (let i = 0; i < many; i++) store.addReading(id, reading(7300 + i / 1000, celsius(i)));
    await store.persisted();
    const isDrawn = (from = 7300): void => {
      let pieces = 0;
      const thinning = store.downsampled(id, {}, 40);
      let piece = thinning.next();
      for (; !piece.done; piece = thinning.next()) pieces++;
      expect(pieces).toBeLessThan(5);
      const values = piece.value.map((r) => r.celsius ?? 0);
      expect([Math.max(...values), Math.min(...values)]).toEqual([400, -5]);
      expect([piece.value[0]?.t, piece.value.at(-1)?.t]).toEqual([from, 7359.999]);
      expect(piece.value.length).toBeLessThanOrEqual(42);
    };
    isDrawn();
    store = storeIn(folder);
    isDrawn();
    // One that came two hours late is the first, though it came last.
    store.addReading(id, reading(100, 30));
    isDrawn(100);
  });

  it('thins without losing a peak', () => {
    const id = begin();
    for (let t = 0; t < 1000; t++)
      store.addReading(id, reading(t, t === 617 ? 400 : t === 333 ? -5 : 200 + (t % 7)));
    const thin = atOnce(store.downsampled(id, {}, 40));
    expect(thin.length).toBeLessThanOrEqual(42);
    expect(thin.some((r) => r.celsius === 400)).toBe(true);
    expect(thin.some((r) => r.celsius === -5)).toBe(true);
  });
});

describe('a data folder that can not be used is refused in one sentence, and untouched', () => {
  const refused = (make: (file: string) => void): string => {
    const elsewhere = mkdtempSync(join(tmpdir(), 'peelside-store-'));
    const file = join(elsewhere, DATABASE_NAME);
    make(file);
    const before = readFileSync(file);
    let message = '';
    try {
      openStore(elsewhere).close();
    } catch (error) {
      message = error instanceof Error ? error.message : '';
    }
    expect(readFileSync(file).equals(before)).toBe(true);
    return message;
  };

  it('a newer schema', () => {
    const message = refused((file) => {
      const db = new Database(file);
      db.exec('CREATE TABLE cook (id INTEGER)');
      db.pragma('application_id = 0x5045454c');
      db.pragma(`user_version = ${SCHEMA_VERSION + 1}`);
      db.close();
    });
    expect(message).toMatch(/newer peelside/);
  });

  it('a database from elsewhere', () => {
    const message = refused((file) => {
      const db = new Database(file);
      db.exec('CREATE TABLE songs (title TEXT)');
      db.close();
    });
    expect(message).toMatch(/another program/);
  });

  it('a folder whose place is taken by a file', () => {
    const file = join(mkdtempSync(join(tmpdir(), 'peelside-store-')), 'taken');
    writeFileSync(file, '');
    chmodSync(file, 0o400);
    expect(() => openStore(file)).toThrow(/choose another with --data/);
    expect(existsSync(file)).toBe(true);
  });
});
