import { beforeEach, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { strict } from '../../shared/api/strict.ts';
import { openApi, type Api } from '../support/api.ts';

let api: Api;
beforeEach(async () => {
  api = await openApi();
});

/** Of bodies that are one of several shapes, what says which. */
const WHICH: Record<string, object> = {
  '/api/events': { event: 'vent' },
  '/api/rehearsal': { do: 'pause' },
  '/api/grills': { do: 'choose', name: 'Grill' },
  '/api/formulas': { kind: 'sauce' },
  '/api/probes/:id/calibrate': { by: 'nothing' },
};
const addressOf = (method: string, path: string): string =>
  path.replace(':alert', 'probe-lost').replaceAll(/:\w+/g, '1') +
  (method === 'DELETE' && path === '/api/plan/happened' ? '?step=mix' : '');

describe('a name that is not known', () => {
  it('is refused by name in the body of every route, and nothing is done', async () => {
    const routes = api.routes.filter(({ method, takesText }) => method !== 'GET' && !takesText);
    expect(routes.length).toBeGreaterThan(40);
    const before = (await api.ask('GET', '/api/settings')).body;
    for (const { method, path } of routes) {
      const { status, body } = await api.ask(method, addressOf(method, path), { ...WHICH[path], surplus: 1 });
      expect([method, path, status, body['at']]).toEqual([method, path, 400, 'surplus']);
      expect(body['detail']).toBe('surplus: this name is not known here: correct it, or leave it out.');
    }
    expect((await api.ask('GET', '/api/settings')).body).toEqual(before);
    expect((await api.ask('GET', '/api/cooks')).body).toMatchObject({ cooks: [] });
  });

  it.each([
    ['PATCH', '/api/settings', { stone: { thicknes: 20 } }, 'stone.thicknes'],
    ['PATCH', '/api/settings', { targets: { stone: [1, 2], dom: [1, 2] } }, 'targets.dom'],
    ['POST', '/api/readings', { readings: [{ channel: 'stone', celcius: 200 }] }, 'readings[0].celcius'],
    ['POST', '/api/pizzas', { name: 'Margherita', taste: { done: 'pale' } }, 'taste.done'],
    ['PATCH', '/api/broker', { access: { url: 'mqtt://b.local', user: 'x' } }, 'access.user'],
    [
      'POST',
      '/api/probes',
      { channel: 'stone', address: { source: 'serial', port: '/dev/ttyS9', baud: 9600 } },
      'address.baud',
    ],
    [
      'POST',
      '/api/reach/try',
      { frame: { source: 'ble', device: 'x', bytes: '00', adress: 1 } },
      'frame.adress',
    ],
  ] as const)('is refused within a body too: %s %s %j', async (method, path, body, at) => {
    const answer = await api.ask(method, path, body);
    expect([answer.status, answer.body['at']]).toEqual([400, at]);
  });

  it('is refused in the query, so that a misspelt eater does not have everyone forgotten', async () => {
    const { status, body } = await api.ask('DELETE', '/api/lessons?eatr=Ada');
    expect([status, body['at']]).toEqual([400, 'eatr']);
  });

  const serial = { source: 'serial' as const, port: '/dev/ttyS9' };
  const beta = { kind: 'ntc', model: 'beta', beta: 3950, r0: 100_000 };
  const value = { offset: 0, type: 'u16' };
  const mapping = { mapping: 1, name: 'Mine', values: [value] };
  it.each<[string, object, string]>([
    ['the text decoder', { decoder: 'serial-text', options: { colums: ['a'] } }, 'options.colums'],
    ['no decoder', { options: { untis: 'F' } }, 'options.untis'],
    ['the source', { options: { modbus: { unit: 1, evry: 5 } } }, 'options.modbus.evry'],
    [
      'a mapping',
      { decoder: 'mapping', options: { mapping: { ...mapping, begin: '00' } } },
      'options.mapping.begin',
    ],
    [
      'a mapping’s value',
      { decoder: 'mapping', options: { mapping: { ...mapping, values: [{ ...value, units: 'F' }] } } },
      'options.mapping.values[0].units',
    ],
    [
      'where a mapping listens',
      { decoder: 'mapping', options: { mapping: { ...mapping, listen: { evry: 5 } } } },
      'options.mapping.listen.evry',
    ],
    [
      'a register',
      { decoder: 'modbus', options: { values: [{ register: 0, unti: 'F' }] } },
      'options.values[0].unti',
    ],
    ['a conversion', { conversion: { ...beta, to: 30 } }, 'conversion.to'],
    [
      'a thermocouple',
      { conversion: { kind: 'thermocouple', type: 'K', juncton: 20 } },
      'conversion.juncton',
    ],
  ])('is refused where a probe is set up, by %s, and the probe is not kept', async (_of, how, at) => {
    const added = await api.ask('POST', '/api/probes', { channel: 'stone', address: serial, ...how });
    expect([added.status, added.body['at']]).toEqual([400, at]);
    expect(added.body['detail']).toBe(`${at}: this name is not known here: correct it, or leave it out.`);
    const probe = (await api.ask('POST', '/api/probes', { channel: 'stone', address: serial })).body;
    const patched = await api.ask('PATCH', `/api/probes/${String(probe['id'])}`, how);
    expect([patched.status, patched.body['at']]).toEqual([400, at]);
    const tried = await api.ask('POST', '/api/reach/try', {
      frame: { ...serial, line: 'stone=270' },
      reads: how,
    });
    expect([tried.status, tried.body['at']]).toEqual([400, at]);
    expect((await api.ask('GET', '/api/reach')).body['probes']).toEqual([probe]);
  });

  it('given a probe that was kept with such a name earlier, it can still be renamed', async () => {
    api.store.putProbe({ id: 'old', channel: 'stone', address: serial, options: { colums: ['a'] } });
    expect((await api.ask('PATCH', '/api/probes/old', { name: 'Edge' })).status).toBe(200);
    expect((await api.ask('PATCH', '/api/probes/old', { options: { colums: [] } })).status).toBe(400);
  });

  it('is refused by a look at a device', async () => {
    const look = { source: 'serial', id: '/dev/ttyS9', options: { baud: 9600 } };
    const { status, body } = await api.ask('POST', '/api/reach/look', look);
    expect([status, body['at']]).toEqual([400, 'options.baud']);
  });

  it.each<[string, object]>([
    ['source and text decoder', { options: { rate: 9600, columns: ['a'] } }],
    [
      'source and Modbus',
      { decoder: 'modbus', options: { modbus: { unit: 1, every: 5 }, values: [{ register: 0 }] } },
    ],
    ['mapping', { decoder: 'mapping', options: { mapping: { ...mapping, listen: { every: 5 } } } }],
    ['conversion', { conversion: beta }],
  ])('given the names that are known, of %s, the probe is kept', async (_of, how) => {
    const { status, text } = await api.ask('POST', '/api/probes', {
      channel: 'stone',
      address: serial,
      ...how,
    });
    expect([status, text]).toEqual([201, expect.any(String)]);
  });
});

describe('strict', () => {
  it.each([
    ['within a tuple', z.tuple([z.object({ a: z.string() })]), [{ a: 'x', b: 1 }]],
    ['within a record', z.record(z.string(), z.object({})), { one: { b: 1 } }],
    ['after a transformation', z.object({}).transform(String), { b: 1 }],
    ['behind a default', z.object({}).prefault({}).nullable(), { b: 1 }],
    ['in a union of which one shape fits otherwise', z.union([z.string(), z.object({})]), { b: 1 }],
  ])('refuses an unknown member %s, which the schema alone leaves out', (_where, schema, value) => {
    expect(schema.safeParse(value).success).toBe(true);
    expect(strict(schema as z.ZodType).safeParse(value).error?.issues).toMatchObject([
      { code: 'unrecognized_keys', keys: ['b'] },
    ]);
  });
});

describe('content of another kind than a route takes', () => {
  it.each([
    ['POST', '/api/cooks'],
    ['POST', '/api/pizzas'],
    ['PATCH', '/api/settings'],
  ] as const)('is refused by %s %s, and does nothing', async (method, path) => {
    const { status, body } = await api.ask(method, path, '{"name":"x"}');
    expect([status, body['detail']]).toEqual([415, 'This is sent as application/json.']);
    expect((await api.ask('GET', '/api/cooks')).body).toMatchObject({ cooks: [] });
  });

  it('is refused by an import that comes as JSON', async () => {
    const { status, body } = await api.ask('POST', '/api/import', { recording: 1 });
    expect([status, body['detail']]).toEqual([415, 'This is sent as application/x-ndjson.']);
  });
});
