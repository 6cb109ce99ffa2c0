import { beforeEach, expect, it } from 'vitest';
import { openApi, type Api } from '../../support/api.ts';

let api: Api;
beforeEach(async () => {
  api = await openApi();
});

type List = {
  cooks: { id: number; name: string; isExample: boolean; rehearsal: boolean }[];
  examplesDue: boolean;
};
const list = async (): Promise<List> => (await api.ask('GET', '/api/cooks')).body as List;

it('before the first cook, three examples are made once, marked, and teach nothing', async () => {
  expect((await list()).examplesDue).toBe(true);
  const grill = api.store.setting('grill-prior');
  await Promise.all([api.ask('POST', '/api/examples'), api.ask('POST', '/api/examples')]);
  const { cooks, examplesDue } = await list();
  expect(examplesDue).toBe(false);
  expect(cooks.map(({ isExample, rehearsal }) => isExample && rehearsal)).toEqual([true, true, true]);
  for (const { name } of cooks) expect(name).toMatch(/^Example: /);
  expect((await api.ask('GET', '/api/trends')).body['trends']).toEqual([]);
  expect((await api.ask('GET', '/api/lessons')).body['lessons']).toEqual([]);
  expect(api.store.setting('grill-prior')).toEqual(grill);
});

it('removed once, they stay away', async () => {
  await api.ask('POST', '/api/examples');
  await api.ask('DELETE', '/api/examples');
  expect(await list()).toMatchObject({ cooks: [], examplesDue: false });
  await api.ask('POST', '/api/examples');
  expect((await list()).cooks).toEqual([]);
});

it('after a real cook, none are made', async () => {
  await api.works();
  await api.ask('POST', '/api/examples');
  expect((await list()).cooks.map(({ isExample }) => isExample)).toEqual([false]);
});
