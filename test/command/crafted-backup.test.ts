import Database from 'better-sqlite3';
import { copyFileSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { restore } from '../../server/store/repair/copy.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { openApi, type Api } from '../support/api.ts';
import { handClock, openSession } from '../support/session.ts';
import { scratch } from '../support/server.ts';

const TABLES = [
  'cook',
  'line',
  'reading',
  'mark',
  'event',
  'pizza',
  'probe',
  'setting',
  'device',
  'peak',
  'photo',
];
/** The table made anew, with columns that take anything and no key, by what is done to it then. */
const loose = (table: string, columns: string, then: string): string =>
  `CREATE TABLE loose(${columns}); INSERT INTO loose SELECT * FROM ${table}; ${then}; DROP TABLE ${table}; ALTER TABLE loose RENAME TO ${table}`;
const COOK = 'id, name, notes, started_at, ended_at, deleted_at, rehearsal, header, picture';
const another = (id: string): string =>
  `INSERT INTO cook SELECT ${id}, name, notes, started_at, ended_at, deleted_at, rehearsal, header, picture FROM cook WHERE id = 1`;

const SQL: Record<string, string> = {
  ...Object.fromEntries([0, 1, 2, -1].map((n) => [`version ${n}`, `PRAGMA user_version = ${n}`])),
  ...Object.fromEntries(TABLES.map((table) => [`no table ${table}`, `DROP TABLE ${table}`])),
  'a table whose name has quotes': `CREATE TABLE "a'; DROP TABLE cook;--"(a)`,
  'one column more': `ALTER TABLE setting ADD COLUMN more TEXT NOT NULL DEFAULT 'x'`,
  'a column of another name': 'ALTER TABLE event RENAME COLUMN body TO bodies',
  'a column less': 'ALTER TABLE reading DROP COLUMN quality',
  'columns of other types': loose(
    'cook',
    COOK,
    `UPDATE loose SET name = x'00ff', started_at = 'soon' WHERE id = 1`,
  ),
  'settings twice and without a key': loose(
    'setting',
    'key, value',
    `INSERT INTO loose VALUES (NULL, NULL), ('settings', '{}'), ('settings', '{}')`,
  ),
  'readings of no cook and of no time': loose(
    'reading',
    'cook, channel, at, seq, t, celsius, quality, reason',
    `INSERT INTO loose VALUES ('x', NULL, 'z', NULL, NULL, 'hot', x'00', 7), (777, 'stone', 1, 1, 1, 1, 'good', NULL)`,
  ),
  'the same pizza twice': loose('pizza', 'cook, id, body', 'INSERT INTO loose SELECT * FROM loose'),
  'the same cook twice': loose('cook', COOK, 'INSERT INTO loose SELECT * FROM loose'),
  'a cook with a number that nothing follows': another('9223372036854775807'),
  'a cook with a number below nothing': another('-5'),
  'a line that nothing follows':
    'UPDATE line SET seq = 9223372036854775807 WHERE cook = 2 AND seq = (SELECT max(seq) FROM line WHERE cook = 2)',
  'a photo of 3 MB that is none': "INSERT INTO photo VALUES (1, 'a', '1', 'top', 1, zeroblob(3000000))",
  'a header of 4 MB': `UPDATE cook SET header = '{"a":"' || hex(zeroblob(2000000)) || '"}' WHERE id = 1`,
  'a tap of many brackets': `UPDATE event SET body = '${'['.repeat(60_000)}' WHERE cook = 1`,
  'an index that lets one setting in':
    'DELETE FROM setting; CREATE UNIQUE INDEX one ON setting(length(value) >= 0)',
  'a condition that takes long':
    'DROP TABLE setting; CREATE TABLE setting (key TEXT PRIMARY KEY, value TEXT CHECK (length(hex(zeroblob(10000000))) > 0))',
};

let source = '';
beforeAll(async () => {
  const api = await openApi();
  for (let cook = 0; cook < 2; cook++) {
    await api.works();
    await api.ask('POST', '/api/pizzas', { name: 'First' });
    await api.ask('POST', '/api/events', { event: 'launch' });
    if (cook === 0) await api.ask('POST', '/api/cooks', { name: 'The next' });
  }
  await api.close();
  source = join(api.folder, DATABASE_NAME);
});

function crafted(sql: string, file: string): void {
  copyFileSync(source, file);
  const db = new Database(file);
  db.pragma('foreign_keys = OFF');
  db.exec(sql);
  db.close();
}

/** All pages answer, readings come and stay, another cook begins, and the cook that was not touched is there. */
async function goesOn(api: Api): Promise<void> {
  api.session.resume();
  for (let n = 0; n < 2; n++) await api.works();
  const listed = (await api.ask('GET', '/api/cooks')).body['cooks'] as { id: number }[];
  expect(listed.map(({ id }) => id)).toContain(2);
  for (const path of ['/api/plan', '/api/settings', '/api/trends', '/api/reach', '/api/lessons'])
    expect([path, (await api.ask('GET', path)).status]).toEqual([path, 200]);
  for (const { id } of listed)
    for (const path of ['', '/readings', '/summary', '/export'])
      expect([id, path, (await api.ask('GET', `/api/cooks/${id}${path}`)).status]).toEqual([id, path, 200]);
  for (const [path, body] of [
    ['/api/cooks', { name: 'Next' }],
    ['/api/pizzas', { name: 'More' }],
    ['/api/probes', { channel: 'dome', address: { source: 'http', channel: 'dome' } }],
  ] as const)
    expect([path, (await api.ask('POST', path, body)).status]).toEqual([path, 201]);
  expect((await api.ask('PATCH', '/api/settings', { unit: 'F' })).status).toBe(200);
  await api.works();
  expect(api.store.dropped()).toBe(0);
}

describe('given a backup that peelside did not make', () => {
  it.each(Object.entries(SQL))('with %s, it is restored and all goes on', async (_name, sql) => {
    const [folder, file] = [scratch(), join(scratch(), 'b.sqlite')];
    crafted(sql, file);
    await restore(folder, file, 0, () => {});
    const api = await openApi(openSession(folder));
    await goesOn(api);
    await api.close();
    expect(readdirSync(folder).filter((name) => !/^(peelside\.(sqlite|lock)|page)$/.test(name))).toEqual([]);
  });

  it.each(Object.entries(SQL).filter(([name]) => !/photo of|header of|tap of/.test(name)))(
    'with %s, put into the folder by hand, a start reads it back and says so',
    async (_name, sql) => {
      const folder = scratch();
      crafted(sql, join(folder, DATABASE_NAME));
      const api = await openApi(openSession(folder, handClock(), { repairs: true }));
      if (!/a table whose name/.test(_name)) expect(api.store.repairNote()).toMatch(/set aside whole as/);
      await goesOn(api);
    },
  );

  it('says what was not as it should be, and how much found no place', async () => {
    const [folder, file] = [scratch(), join(scratch(), 'b.sqlite')];
    crafted('ALTER TABLE pizza RENAME COLUMN body TO bodies', file);
    const { leftOut } = await restore(folder, file, 0, () => {});
    expect(leftOut).toEqual({ odd: 'the table pizza is not as it should be', rows: 2 });
  });

  it.each<[string, (file: string) => void]>([
    ['nothing in it', (file) => writeFileSync(file, '')],
    [
      'every byte another',
      (file) =>
        writeFileSync(
          file,
          readFileSync(source).map((byte) => byte ^ 0x5a),
        ),
    ],
    ['a newer version', (file) => crafted('PRAGMA user_version = 99', file)],
    [
      'a journal of a write that broke off',
      (file) => {
        copyFileSync(source, file);
        writeFileSync(
          `${file}-journal`,
          Buffer.concat([Buffer.from('d9d505f920a163d7', 'hex'), Buffer.alloc(5000, 1)]),
        );
      },
    ],
  ])('with %s, it is refused in one sentence, and what was there stays', async (_name, craft) => {
    const [folder, file] = [scratch(), join(scratch(), 'b.sqlite')];
    openStore(folder).close();
    const before = readFileSync(join(folder, DATABASE_NAME));
    craft(file);
    await expect(restore(folder, file, 0, () => {})).rejects.toThrow(
      /^[^\n]+(take another one|update peelside)[^\n]*\.$/,
    );
    expect(readFileSync(join(folder, DATABASE_NAME)).equals(before)).toBe(true);
  });
});
