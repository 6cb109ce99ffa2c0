import Database from 'better-sqlite3';
import {
  closeSync,
  existsSync,
  openSync,
  readFileSync,
  readdirSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { call, peelside, scratch, startServer } from '../support/server.ts';

const post = (url: string, celsius: number) =>
  call(url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius }] });
const countOf = (file: string): number => {
  const db = new Database(file, { readonly: true });
  expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
  const n = db.prepare('SELECT count(*) FROM reading').pluck().get() as number; // count is an integer
  db.close();
  return n;
};

describe('peelside backup and restore', () => {
  it('copies everything while the server writes, and brings it back with what was there set aside', async () => {
    const data = scratch();
    const file = join(scratch(), 'evening.sqlite');
    const server = await startServer([], data);
    for (let i = 0; i < 20; i++) await post(server.url, 200 + i);
    const copying = peelside(['backup', file, '--data', data]);
    const ended = copying.then(() => true);
    let more = 0;
    do {
      await post(server.url, 230);
      more++;
    } while (!(await Promise.race([ended, new Promise<false>((resolve) => setImmediate(resolve, false))])));
    const { code, out, err } = await copying;
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/1 cook is backed up in .*evening\.sqlite\./);
    const inside = countOf(file);
    expect(inside).toBeGreaterThanOrEqual(20);
    expect(inside).toBeLessThanOrEqual(20 + more);

    const refused = await peelside(['restore', file, '--data', data]);
    expect(refused.code).toBe(1);
    expect(refused.err).toMatch(/Another peelside serves/);
    await server.stop();

    const restored = await peelside(['restore', file, '--data', data]);
    expect(restored.err).toBe('');
    const aside = readdirSync(data).find((name) => /^peelside-replaced-.*\.sqlite$/.test(name)) ?? '';
    expect(restored.out).toContain(aside);
    expect(countOf(join(data, aside))).toBe(20 + more);
    const again = await startServer([], data);
    const { body } = await call(again.url, 'GET', '/api/cooks/1/readings');
    expect(body['readings']).toHaveLength(inside);
  });

  it('refuses a file that is there, a file that is no backup, and nothing to back up', async () => {
    const data = scratch();
    const text = join(scratch(), 'notes.txt');
    writeFileSync(text, 'not a database, but long enough to be looked at'.repeat(20));
    expect((await peelside(['backup', text, '--data', data])).err).toMatch(/nothing to back up/);
    const server = await startServer([], data);
    await post(server.url, 200);
    await server.stop();
    expect((await peelside(['backup', text, '--data', data])).err).toMatch(/is there already/);
    const { code, err } = await peelside(['restore', text, '--data', data]);
    expect(code).toBe(1);
    expect(err).toMatch(/notes\.txt can't be used/);
    expect(readFileSync(text, 'utf8')).toMatch(/^not a database/);
    expect((await peelside(['restore', join(data, 'nowhere'), '--data', data])).err).toMatch(/no file/);
    expect(existsSync(join(data, DATABASE_NAME))).toBe(true);
  });
});

describe('a backup from somebody else', () => {
  // sqlite.org/security.html: in a file that is not one's own, a view, trigger or virtual table may run what it likes.
  it.each([
    'CREATE VIEW shift AS SELECT * FROM cook',
    'CREATE TRIGGER grow AFTER INSERT ON cook BEGIN DELETE FROM cook; END',
    'CREATE VIRTUAL TABLE words USING fts5(word)',
  ])('is not restored with anything but plain tables in it: %s', async (sql) => {
    const [data, other] = [scratch(), scratch()];
    openStore(other).close();
    const file = join(other, DATABASE_NAME);
    expect((await peelside(['restore', file, '--data', data])).err).toBe('');
    const db = new Database(file);
    db.exec(sql);
    db.close();
    const before = readFileSync(join(data, DATABASE_NAME));
    const { code, err } = await peelside(['restore', file, '--data', data]);
    expect([code, err]).toEqual([1, expect.stringContaining('a view, trigger or virtual table')]);
    expect(readFileSync(join(data, DATABASE_NAME)).equals(before)).toBe(true);
    expect(readdirSync(data).filter((name) => name.includes('replaced'))).toEqual([]);
  });
});

describe('a server whose database is damaged', () => {
  it('sets it aside, says so on its terminal and on the page, and goes on with what could be read', async () => {
    const data = scratch();
    const first = await startServer([], data);
    for (let i = 0; i < 5; i++) await post(first.url, 200 + i);
    await first.stop();
    const handle = openSync(join(data, DATABASE_NAME), 'r+');
    writeSync(handle, Buffer.alloc(4096), 0, 4096, 0);
    closeSync(handle);
    expect((await peelside(['export', '1', '--data', data])).err).toMatch(/is damaged/);
    const second = await startServer([], data);
    expect(second.lines.join('\n')).toMatch(/set aside whole as peelside-damaged-/);
    const now = (await call(second.url, 'GET', '/api/now')).body;
    expect(now['notKept']).toMatch(/set aside whole as peelside-damaged-/);
    expect((await call(second.url, 'GET', '/api/cooks/1/readings')).body['readings']).toHaveLength(5);
  });
});
