import { Validator } from '@seriousme/openapi-schema-validator';
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { beforeAll, describe, expect, it } from 'vitest';
import { openLan, type Lan } from '../../support/lan.ts';

let lan: Lan;
beforeAll(async () => {
  lan = await openLan();
});

const local = { host: 'localhost' };

describe('the description of the API', () => {
  it('is OpenAPI 3.1 for a third-party validator, which refuses one with a mistake in it', async () => {
    const document = (await lan.app.inject({ url: '/api/openapi.json', headers: local })).json<
      Record<string, unknown>
    >();
    const good = await new Validator().validate(document);
    expect(good).toEqual({ valid: true });
    const validator = new Validator();
    expect((await validator.validate(structuredClone(document))).valid).toBe(true);
    expect(validator.version).toBe('3.1');
    expect((await new Validator().validate({ ...document, paths: { api: {} } })).valid).toBe(false);
  });

  it('says what each path needs of a device, and names no path twice', async () => {
    const { paths } = (await lan.app.inject({ url: '/api/openapi.json', headers: local })).json<{
      paths: Record<string, Record<string, { security: unknown; operationId: string }>>;
    }>();
    expect(paths['/api/now']?.['get']?.security).toEqual([{ device: ['look'] }]);
    expect(paths['/api/readings']?.['post']?.security).toEqual([{ device: ['act'] }]);
    expect(paths['/api/access/enter']?.['post']?.security).toEqual([]);
    const ids = Object.values(paths).flatMap((path) =>
      Object.values(path).map((operation) => operation.operationId),
    );
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('has schemas that are JSON Schema 2020-12, as OpenAPI 3.1 wants them', async () => {
    const ajv = new Ajv2020({ strict: false });
    addFormats.default(ajv);
    const document = (await lan.app.inject({ url: '/api/openapi.json', headers: local })).json<unknown>();
    const schemas: unknown[] = [];
    JSON.stringify(document, (key, value: unknown) => {
      if (key === 'schema') schemas.push(value);
      return value;
    });
    expect(schemas.length).toBeGreaterThan(50);
    for (const schema of schemas) expect(() => ajv.compile(schema as object)).not.toThrow();
  });
});

/** RFC 9457 appendix A (not normative, recalled): what a problem document may look like. */
const PROBLEM = {
  type: 'object',
  properties: {
    type: { type: 'string', format: 'uri-reference' },
    title: { type: 'string' },
    status: { type: 'integer', minimum: 100, maximum: 599 },
    detail: { type: 'string' },
    instance: { type: 'string', format: 'uri-reference' },
  },
};

describe('problem documents', () => {
  const ajv = new Ajv2020();
  addFormats.default(ajv);
  const isProblem = ajv.compile({ ...PROBLEM, required: ['type', 'title', 'status', 'detail'] });

  it.each([
    [400, 'POST', '/api/readings', '{"readings":[{"channel":"stone","celsius":9999}]}', {}],
    [400, 'POST', '/api/readings', '{', {}],
    [403, 'GET', '/api/now', undefined, { host: 'pizza.example' }],
    [404, 'GET', '/api/cooks/77', undefined, {}],
    [404, 'GET', '/api/nothing', undefined, {}],
    [404, 'GET', '/..%2f..%2fpackage.json', undefined, {}],
    [409, 'POST', '/api/access/enter', '{"code":"1"}', {}],
    [413, 'POST', '/api/readings', `"${'x'.repeat(2 * 1024 * 1024)}"`, {}],
    [413, 'POST', '/api/import', 'x'.repeat(1024 * 1024 + 1), { 'content-type': 'application/x-ndjson' }],
    [415, 'POST', '/api/readings', '<x/>', { 'content-type': 'text/xml' }],
  ] as const)('answers %i to %s %s with one (RFC 9457)', async (status, method, url, payload, headers) => {
    const json = payload === undefined ? {} : { 'content-type': 'application/json' };
    const answer = await lan.app.inject({
      method,
      url,
      headers: { ...local, ...json, ...headers },
      ...(payload !== undefined && { payload }),
    });
    expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/);
    const body = answer.json<{ status: number; detail: string }>();
    expect(isProblem(body)).toBe(true);
    expect([answer.statusCode, body.status]).toEqual([status, status]);
    expect(body.detail).not.toMatch(/\bat .*\.ts:\d|node_modules|Error:/);
  });

  it('answers 401 with one to an unauthenticated device', async () => {
    const { status, headers, body } = await lan.ask('GET', '/api/now');
    expect([status, isProblem(body)]).toEqual([401, true]);
    expect(headers['content-type']).toMatch(/^application\/problem\+json/);
  });
});
