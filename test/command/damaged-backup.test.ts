import Database from 'better-sqlite3';
import fc from 'fast-check';
import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { restore } from '../../server/store/repair/copy.ts';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { leftOutOf } from '../../server/store/repair/integrity.ts';
import { openApi } from '../support/api.ts';
import { openSession } from '../support/session.ts';
import { scratch } from '../support/server.ts';

/** Of a table its text columns, which hold JSON or names, and its numbers. */
const COLUMNS = {
  cook: ['header', 'name', 'notes', 'picture', 'started_at', 'ended_at'],
  line: ['body', 't', 'seq'],
  reading: ['quality', 'celsius', 't', 'at'],
  mark: ['body', 't', 'kind', 'seq'],
  event: ['body', 't', 'id'],
  pizza: ['body', 'id'],
  probe: ['body'],
  setting: ['value'],
  peak: ['celsius', 't', 'quality'],
} as const;
const NUMBERS = new Set(['started_at', 'ended_at', 't', 'at', 'seq', 'celsius']);

const json = fc.oneof(
  fc.constantFrom(
    '',
    '{',
    '[7',
    'null',
    '7',
    '[]',
    '{}',
    '"x"',
    '{"t":1e400}',
    '{"event":"launch","ago":"x"}',
  ),
  fc.constantFrom('[]', '{"unit":5}', '{"draft":{}}', '{"draft":null,"happened":7,"cook":"x"}'),
  fc.json({ maxDepth: 3 }),
);
const number = fc.constantFrom(0, -1, 1, 9e15, -9e15, 1e300, -1e300);

const damage = fc
  .constantFrom(...(Object.keys(COLUMNS) as (keyof typeof COLUMNS)[]))
  .chain((table) =>
    fc.record({ table: fc.constant(table), column: fc.constantFrom(...COLUMNS[table]), at: fc.nat(50) }),
  )
  .chain((place) =>
    fc.record({ place: fc.constant(place), value: NUMBERS.has(place.column) ? number : json }),
  );

/** An evening of two cooks, a plan, formulas, settings, a probe, in a folder of its own. */
async function evening(): Promise<string> {
  const api = await openApi();
  await api.ask('PATCH', '/api/settings', { unit: 'F' });
  await api.ask('POST', '/api/probes', { channel: 'stone', address: { source: 'http', channel: 'stone' } });
  for (let cook = 0; cook < 2; cook++) {
    await api.works();
    for (const event of ['fire-lit', 'lid-open', 'lid-closed'])
      await api.ask('POST', '/api/events', { event });
    await api.ask('POST', '/api/pizzas', { name: 'First' });
    await api.ask('POST', '/api/events', { event: 'launch' });
    for (let i = 0; i < 40; i++) {
      api.clock.at += 1000;
      await api.works();
    }
    await api.ask('POST', '/api/cooks', { name: 'The next' });
  }
  await api.close();
  return api.folder;
}

it('given a backup with any row damaged, it is restored, the server works, and all other cooks are there', async () => {
  const source = join(await evening(), DATABASE_NAME);
  let without = 0;
  await fc.assert(
    fc.asyncProperty(damage, async ({ place: { table, column, at }, value }) => {
      const [folder, other] = [scratch(), join(scratch(), 'b.sqlite')];
      copyFileSync(source, other);
      const db = new Database(other);
      const keys = (db.pragma(`table_info(${table})`) as { name: string; pk: number }[]) // as SQLite documents it
        .filter(({ pk }) => pk > 0)
        .map(({ name }) => name);
      const row = db.prepare(`SELECT ${keys.join(', ')} FROM ${table} LIMIT 1 OFFSET ?`).get(at) as
        Record<string, unknown> | undefined;
      if (row) {
        const whole = ['started_at', 'ended_at', 'at', 'seq'].includes(column) && typeof value === 'number';
        const put = whole ? BigInt(Math.max(-9e15, Math.min(9e15, value))) : value;
        db.prepare(
          `UPDATE OR IGNORE ${table} SET ${column} = ? WHERE ${keys.map((key) => `${key} = @${key}`).join(' AND ')}`,
        ).run(put, row);
      }
      db.close();
      await restore(folder, other, 0, () => {});
      if (leftOutOf(folder) !== null) without++;
      const api = await openApi(openSession(folder));
      api.session.resume();
      for (let n = 0; n < 2; n++) await api.works();
      const { body } = await api.ask('GET', '/api/cooks');
      const ids = (body['cooks'] as { id: number }[]).map(({ id }) => id);
      for (const id of [1, 2, 3]) expect(ids).toContain(id);
      for (const path of ['/api/plan', '/api/settings', '/api/formulas', '/api/trends', '/api/lessons'])
        expect([path, (await api.ask('GET', path)).status]).toEqual([path, 200]);
      for (const id of ids)
        for (const path of ['', '/readings', '/readings?points=100', '/summary', '/export'])
          expect([path, (await api.ask('GET', `/api/cooks/${id}${path}`)).status]).toEqual([path, 200]);
      await api.close();
    }),
    {
      numRuns: Number(process.env['FUZZ_RUNS'] ?? 30) > 1000 ? 1500 : 30,
      // These are surely left out; whether chance finds others differs from run to run.
      examples: [
        [{ place: { table: 'pizza', column: 'body', at: 0 }, value: '{' }],
        [{ place: { table: 'event', column: 'body', at: 0 }, value: '7' }],
        [{ place: { table: 'line', column: 'seq', at: 50 }, value: 1e300 }],
      ],
    },
  );
  expect(without).toBeGreaterThan(0);
}, 900_000);
