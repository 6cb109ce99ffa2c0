import Database from 'better-sqlite3';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { forgetUnfinished, importCook } from '../../server/cook/portable/cook-import.ts';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { openApi, type Api } from '../support/api.ts';
import { STONE_AND_DOME } from '../support/header.ts';

let api: Api;
beforeEach(async () => {
  api = await openApi();
});
afterEach(() => api.close());

/** `{"a":{"a":…}}`, as JSON. */
const nested = (depth: number): string => '{"a":'.repeat(depth) + '1' + '}'.repeat(depth);
const parsed = (text: string): unknown => JSON.parse(text);

describe('JSON nested thousands of levels deep', () => {
  const probe = { name: 'Deep', channel: 'stone', address: { source: 'serial', port: '/dev/ttyS9' } };
  const deep = (): unknown => parsed(nested(5000));

  it.each([
    ['POST', '/api/probes', () => `{"options":${nested(5000)},${JSON.stringify(probe).slice(1)}`],
    [
      'POST',
      '/api/probes',
      () => `{"conversion":{"kind":"ntc","more":${nested(5000)}},${JSON.stringify(probe).slice(1)}`,
    ],
    ['POST', '/api/reach/look', () => `{"source":"serial","id":"x","options":${nested(5000)}}`],
    ['PATCH', '/api/settings', () => nested(5000)],
    ['POST', '/api/formulas', () => nested(5000)],
    ['POST', '/api/events', () => `{"event":"note","note":"x","more":${nested(5000)}}`],
  ] as const)('is refused by %s %s, and all goes on being kept', async (method, path, body) => {
    const answer = await api.app.inject({
      method,
      url: path,
      headers: { host: 'localhost', 'content-type': 'application/json' },
      payload: body(),
    });
    expect(answer.statusCode).toBe(400);
    await api.works();
  });

  it('is skipped in a line of a recording', async () => {
    const lines = [
      '{"recording":1,"startedAt":"2026-05-02T16:00:00Z","channels":[{"id":"stone","role":"stone"}]}',
      '{"t":1,"channel":"stone","celsius":200}',
      `{"t":2,"event":"probes","probes":[{"options":${nested(5000)},"id":"p",${JSON.stringify(probe).slice(1)}]}`,
    ];
    const { status, body } = await api.ask('POST', '/api/import', lines.join('\n'));
    expect(status).toBe(201);
    expect(body['skipped']).toEqual([{ number: 3, why: expect.stringContaining('nested') }]);
    await api.works();
  });

  it('is left out, counted and told where it reaches the store all the same', async () => {
    await api.works();
    expect(() =>
      api.store.putProbe({
        id: 'deep',
        channel: null,
        address: { source: 'spot', channel: 'stone' },
        options: { deep: deep() },
      }),
    ).toThrow(RangeError);
    await api.works();
  });
});

describe('a write that can never be stored', () => {
  it('is left out and counted; who waited is told, and what comes after is kept', async () => {
    await api.works();
    // A pizza of a cook that is not there contradicts the schema, whatever the disk does.
    const { putPizza } = api.store;
    const pizza = (await api.ask('POST', '/api/pizzas', { name: 'First' })).body;
    putPizza(999, pizza as never);
    await expect(api.store.persisted()).rejects.toThrow(/can’t be stored/);
    expect((await api.ask('GET', '/api/health')).body['dropped']).toBe(1);
    await api.works();
    expect(api.store.error()).toBeNull();
  });
});

describe('a recording that no cook can be', () => {
  const header = (more: object = {}): string =>
    JSON.stringify({
      recording: 1,
      startedAt: '2026-05-02T16:00:00Z',
      channels: STONE_AND_DOME,
      ...more,
    });
  const good = '{"t":1,"channel":"stone","celsius":200}';
  const bring = (...lines: string[]) => api.ask('POST', '/api/import', lines.join('\n'));

  it.each([
    ['a time of 1e13 s', '{"t":1e13,"channel":"stone","celsius":200}'],
    ['a time beyond all numbers', '{"t":1e400,"channel":"stone","celsius":200}'],
    ['a time a second after a week', '{"t":604801,"channel":"stone","celsius":200}'],
    ['a temperature beyond all numbers', '{"t":1,"channel":"stone","celsius":1e400}'],
    ['a moment long before the cook', '{"t":1,"channel":"stone","celsius":200,"was":-1e12}'],
    ['an answer of another age', '{"t":1,"event":"answer","noticed":"launch","at":1e13,"yes":true}'],
    ['a name that every object has', '{"t":1,"channel":"__proto__","celsius":200}'],
    ['a pizza with such a name', '{"t":1,"event":"launch","pizza":"constructor"}'],
  ])('with %s has that line skipped, and the list of cooks opens', async (_what, line) => {
    const { status, body } = await bring(header(), good, line);
    expect([status, body['lines'], body['bad']]).toEqual([201, 1, 1]);
    await api.works();
    const { body: list } = await api.ask('GET', '/api/cooks');
    expect(list['cooks']).toHaveLength(2);
  });

  it.each([
    ['a channel named __proto__', { channels: [{ id: '__proto__', role: 'stone' }] }],
    ['a start before all clocks', { startedAt: '0001-01-01T00:00:00Z' }],
    ['a pizza launched in another age', { cook: { pizzas: [{ id: 'p1', place: 0, launchedAt: 1e13 }] } }],
  ])('with %s is refused, and no cook is there', async (_what, more) => {
    expect((await bring(header(more), good)).status).toBe(400);
    expect((await api.ask('GET', '/api/cooks')).body['cooks']).toEqual([]);
    await api.works();
  });

  it('that ends years later ends with its last line', async () => {
    await bring(header({ cook: { endedAt: '2036-05-02T16:00:00Z' } }), good);
    const { body } = await api.ask('GET', '/api/cooks/1');
    expect(body['seconds']).toBe(1);
  });

  it('with more bad lines than good ones is given up, with the first hundred and a count', async () => {
    const { status, body } = await bring(header(), good, ...Array.from({ length: 5000 }, () => 'x'));
    expect(status).toBe(400);
    expect(body['detail']).toMatch(/1001 of its lines are bad and 1 good; line 3: it is not JSON/);
    expect((await api.ask('GET', '/api/cooks')).body['cooks']).toEqual([]);
    const many = Array.from({ length: 800 }, (_, i) => `{"t":${i},"channel":"stone","celsius":200}\nx`);
    const { body: result } = await bring(header(), ...many);
    expect([result['lines'], result['bad']]).toEqual([800, 800]);
    expect(result['skipped']).toHaveLength(100);
  });

  it('is nothing at all until it is whole, and nothing is left of one that breaks off', async () => {
    const { store } = api;
    const seen: number[] = [];
    async function* broken(): AsyncGenerator<string> {
      yield `${header()}\n${good}\n`;
      yield '{"t":2,"channel":"stone","celsius":201}\n'.repeat(1500);
      seen.push(store.cooks().length);
      throw new Error('the connection is gone');
    }
    await expect(importCook(store, broken())).rejects.toThrow(/connection is gone/);
    expect(seen).toEqual([0]);
    expect([store.cooks(), store.cook(1), store.lineCount(1)]).toEqual([[], null, 0]);
  });

  it('is removed at the next start where the server was killed in the middle of it', async () => {
    const { store } = api;
    async function* killed(): AsyncGenerator<string> {
      yield `${header()}\n${`${good}\n`.repeat(1500)}`;
      await new Promise(() => {});
    }
    void importCook(store, killed());
    await expect.poll(() => store.lineCount(1)).toBe(1500);
    const again = openStore(api.folder);
    forgetUnfinished(again);
    expect([again.cook(1), again.lineCount(1)]).toEqual([null, 0]);
    again.close();
  });

  it('as a table whose quote never closes is refused, not kept in memory', async () => {
    const start = 'kind,t,at,channel,celsius,quality,event,note,line\r\nheader,,,,,,,,"';
    const { status, body } = await api.ask('POST', '/api/import', start + 'x\n'.repeat(2_000_000));
    expect([status, body['detail']]).toEqual([413, expect.stringContaining('no table of an export')]);
    await api.works();
  });
});

describe('a cook that is there and cannot be read', () => {
  it.each([
    ['its header', "UPDATE cook SET header = '[7'"],
    ['its channels', `UPDATE cook SET header = '{"recording":1,"channels":5}'`],
    ['its start', 'UPDATE cook SET started_at = 9000000000000000'],
    ['its picture', "UPDATE cook SET ended_at = started_at, picture = '{'"],
    ['an event', "UPDATE event SET body = 'nonsense'"],
    ['a pizza', `UPDATE pizza SET body = '{"id":4}'`],
    ['a mark', "UPDATE mark SET body = '7'"],
    ['a line', "UPDATE line SET body = '{'"],
  ])('for %s is shown in the list, opens or says why not, and can be deleted', async (_what, sql) => {
    await api.works();
    await api.ask('POST', '/api/pizzas', { name: 'First' });
    await api.ask('POST', '/api/events', { event: 'launch' });
    await api.ask('POST', '/api/cooks', { name: 'The next' });
    await api.store.persisted();
    const other = new Database(join(api.folder, DATABASE_NAME));
    other.exec(`${sql} WHERE ${sql.startsWith('UPDATE cook') ? 'id' : 'cook'} = 1`);
    other.close();
    const list = await api.ask('GET', '/api/cooks');
    expect([list.status, (list.body['cooks'] as unknown[]).length]).toEqual([200, 2]);
    for (const path of ['', '/readings', '/summary', '/export', '/export?format=csv'])
      expect([path, (await api.ask('GET', `/api/cooks/1${path}`)).status]).toEqual([path, 200]);
    expect((await api.ask('PATCH', '/api/cooks/1', { deleted: true })).status).toBe(200);
    expect((await api.ask('GET', '/api/cooks')).body['cooks']).toHaveLength(1);
    await api.works();
  });
});
