import { readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStore } from '../../server/store/sqlite.ts';
import { finishRestore } from '../../server/store/repair/copy.ts';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { plain } from '../../server/command/scan.ts';
import { openApi } from '../support/api.ts';
import { openLan } from '../support/lan.ts';
import { call, peelside, scratch, startServer } from '../support/server.ts';
import { storeIn } from '../support/session.ts';

const KEY = '231d39c1d7cc1ab1aee224cd096db932';
const probe = {
  channel: 'stone',
  address: { source: 'ble', device: '54:48:e6:8f:80:a5', advert: 'fcd2' },
  options: { key: KEY },
};

describe('the key of an encrypting thermometer', () => {
  it('is shown to who may act, and neither to who may only look nor in what is shared', async () => {
    const lan = await openLan();
    const [act, look] = [(await lan.enter('act')).cookie, (await lan.enter('look')).cookie];
    const as = (cookie: string) => ({ headers: { cookie } });
    await lan.ask('POST', '/api/probes', { ...as(act), body: probe });
    await lan.ask('POST', '/api/cooks', { ...as(act), body: {} });
    expect((await lan.ask('GET', '/api/reach', as(act))).text).toContain(KEY);
    expect((await lan.ask('GET', '/api/reach', as(look))).text).not.toContain(KEY);
    for (const format of ['csv', 'jsonl'])
      for (const cookie of [act, look])
        expect((await lan.ask('GET', `/api/cooks/1/export?format=${format}`, as(cookie))).text).not.toContain(
          KEY,
        );
    expect((await lan.ask('GET', '/api/cooks/1/export?keys=yes', as(look))).text).not.toContain(KEY);
    expect((await lan.ask('GET', '/api/cooks/1/export?keys=yes', as(act))).text).toContain(KEY);
  });
});

it('the key in what the command takes out is left out unless it is asked for, as over HTTP', async () => {
  const data = scratch();
  const server = await startServer([], data);
  await call(server.url, 'POST', '/api/probes', probe);
  await call(server.url, 'POST', '/api/cooks', {});
  await server.stop();
  for (const format of ['csv', 'jsonl']) {
    const args = ['export', '1', '--format', format, '--data', data];
    const plainly = await peelside(args);
    expect(plainly.code).toBe(0);
    expect(plainly.out).toContain('54:48:e6:8f:80:a5');
    expect(plainly.out).not.toContain(KEY);
    expect((await peelside([...args, '--keys'])).out).toContain(KEY);
  }
});

describe('what a page of another site can make a browser do', () => {
  const crossSite = { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate' };
  it('is to open a page here, and not to act by a form, nor to ask the API', async () => {
    const api = await openApi();
    const ask = (method: 'GET' | 'POST', url: string) =>
      api.app.inject({ method, url, headers: { host: 'localhost', ...crossSite } });
    expect((await ask('POST', '/api/alerts/overshot/unshelve')).statusCode).toBe(403);
    expect((await ask('POST', '/api/escalation/test')).statusCode).not.toBe(200);
    expect((await ask('GET', '/api/reach')).statusCode).toBe(403);
    expect((await ask('GET', '/nothing.html')).statusCode).toBe(404);
  });

  it('an address that is none is answered by a problem document under the same policy', async () => {
    const api = await openApi();
    const answer = await api.app.inject({ method: 'GET', url: '/%', headers: { host: 'localhost' } });
    expect(answer.statusCode).toBe(400);
    expect(answer.headers['content-type']).toMatch('application/problem+json');
    expect(answer.headers['content-security-policy']).toMatch("default-src 'none'");
  });
});

it('a webhook that leads back to the server ends there', async () => {
  const api = await openApi();
  const { status } = await api.ask('POST', '/api/escalation/test', {}, { 'x-peelside-id': 'test-1' });
  expect(status).toBe(403);
});

describe('a cook', () => {
  it('has at most 200 pizzas, announced or not', async () => {
    const api = await openApi();
    await api.works();
    for (let i = 0; i < 200; i++) await api.ask('POST', '/api/pizzas', {});
    expect((await api.ask('POST', '/api/pizzas', {})).status).toBe(409);
    expect((await api.ask('POST', '/api/events', { event: 'launch', pizza: 'another' })).status).toBe(404);
    expect((await api.ask('GET', '/api/now')).body.pizzas).toHaveLength(200);
  });

  it('with a launch of the shortest times goes out and in again', async () => {
    const api = await openApi();
    await api.works();
    expect(
      (await api.ask('POST', '/api/events', { event: 'launch', turnAfter: 5, offAfter: 5 })).status,
    ).toBe(201);
    const { text } = await api.ask('GET', '/api/cooks/1/export');
    expect((await api.ask('POST', '/api/import', text)).body).toMatchObject({ bad: 0 });
  });
});

it('a rehearsal that is sought beyond its end stands at its end, and no pace makes a tick long', async () => {
  const api = await openApi();
  await api.ask('POST', '/api/rehearsal', { do: 'start', file: 'good-evening', pace: 10_000 });
  expect((await api.ask('POST', '/api/rehearsal', { do: 'seek', t: 1e300 })).status).toBe(400);
  const { body } = await api.ask('POST', '/api/rehearsal', { do: 'seek', t: 600_000 });
  const { t, length } = body['rehearsal'] as { t: number; length: number };
  expect(t).toBe(length);
  await api.ask('POST', '/api/rehearsal', { do: 'seek', t: 0 });
  const before = api.store.lineCount(api.session.cook?.id ?? 0);
  api.clock.at += 2000;
  api.session.advance();
  expect(api.store.lineCount(api.session.cook?.id ?? 0) - before).toBeLessThanOrEqual(201);
});

it('what a device calls itself moves no terminal', () => {
  expect(plain('a\u001b[2Jb\u202ec')).toBe('a\ufffd[2Jb\ufffdc');
});

describe('the data folder', () => {
  it('is for its user alone, an older one too, and so are backups, which leave nothing beside them', async () => {
    const data = join(scratch(), 'data');
    const server = await startServer([], data);
    await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
    const place = scratch();
    const { err } = await peelside(['backup', join(place, 'b.sqlite'), '--data', data]);
    expect(err).toBe('');
    expect(readdirSync(place)).toEqual(['b.sqlite']);
    for (const path of [data, ...readdirSync(data).map((name) => join(data, name)), join(place, 'b.sqlite')])
      expect([path, statSync(path).mode & 0o077]).toEqual([path, 0]);
  });

  it('whose database is deleted while it serves says so, and acknowledges nothing', async () => {
    const api = await openApi();
    await api.works();
    for (const end of ['', '-wal', '-shm']) rmSync(join(api.folder, DATABASE_NAME + end), { force: true });
    const { status } = await api.ask('POST', '/api/readings', {
      readings: [{ channel: 'stone', celsius: 201 }],
    });
    expect(status).toBe(503);
    expect((await api.ask('GET', '/api/now')).body['notKept']).toMatch(/has deleted/);
    await api.app.close();
  });

  it('whose database is replaced while it serves says so, and leaves the other as it is', async () => {
    const other = scratch();
    const before = storeIn(other);
    before.putSetting('examples', { ids: [7], removed: false });
    await before.persisted();
    before.close();
    const api = await openApi();
    await api.works();
    renameSync(join(other, DATABASE_NAME), join(api.folder, DATABASE_NAME));
    const { status } = await api.ask('POST', '/api/readings', {
      readings: [{ channel: 'stone', celsius: 201 }],
    });
    expect(status).toBe(503);
    expect((await api.ask('GET', '/api/now')).body['notKept']).toMatch(/has deleted or replaced/);
    await api.close();
    const after = storeIn(api.folder);
    expect([after.setting('examples'), after.cooks()]).toEqual([{ ids: [7], removed: false }, []]);
  });

  it('whose restore was cut off at its last step has the backup at the next start', () => {
    const folder = scratch();
    openStore(folder).close();
    const file = join(folder, DATABASE_NAME);
    renameSync(file, `${file}.part`);
    expect(finishRestore(folder)).toBe(true);
    expect(finishRestore(folder)).toBe(false);
    openStore(folder).close();
  });

  it('given a backup of before a device was revoked, no longer lets it in', async () => {
    const [data, place] = [scratch(), scratch()];
    const device = (id: string) => ({
      id,
      name: id,
      right: 'act' as const,
      hash: id,
      enteredAt: 1,
      seenAt: 1,
    });
    const store = storeIn(data);
    for (const id of ['stays', 'revoked']) store.putDevice(device(id));
    await store.persisted();
    store.close();
    const backup = join(place, 'b.sqlite');
    await peelside(['backup', backup, '--data', data]);
    const later = storeIn(data);
    later.removeDevice('revoked');
    later.putDevice(device('new'));
    await later.persisted();
    later.close();
    expect((await peelside(['restore', backup, '--data', data])).err).toBe('');
    const after = storeIn(data);
    expect(
      after
        .devices()
        .map(({ id }) => id)
        .sort(),
    ).toEqual(['new', 'stays']);
  });
});
