import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { createAccess } from '../../server/access/rights.ts';
import { buildApp } from '../../server/http/app.ts';
import type { Route } from '../../server/http/route.ts';
import { apiRoutes } from '../../server/http/routes/all-routes.ts';
import { atEnd } from './endings.ts';
import { openSession, type Bench } from './session.ts';

export type ApiAnswer = { status: number; type: string; text: string; body: Record<string, unknown> };
export type Api = Bench & {
  app: FastifyInstance;
  routes: Route[];
  /** A text is sent as a recording, all else as JSON. */
  ask(
    method: Route['method'],
    url: string,
    payload?: unknown,
    headers?: Record<string, string>,
  ): Promise<ApiAnswer>;
  /** Whether readings arrive and stay, the list of cooks opens and the live page answers. */
  works(): Promise<void>;
  /** Closes it before the test's end. */
  close(): Promise<void>;
};

/** The API without a network, on a clock of the test's own; closed at its end. */
export async function openApi(bench = openSession()): Promise<Api> {
  const { store, clock, folder } = bench;
  const access = createAccess({
    shelf: store,
    clock,
    identity: null,
    port: () => 0,
    show: null,
    revoked: () => {},
  });
  const routes = apiRoutes({ ...bench, version: '0.0.0' });
  const page = join(folder, 'page');
  mkdirSync(page, { recursive: true });
  const app = buildApp(routes, page, '0.0.0', access);
  await app.ready();

  const ask: Api['ask'] = async (method, url, payload, headers = {}) => {
    const isText = typeof payload === 'string' || Buffer.isBuffer(payload);
    const answer = await app.inject({
      method,
      url,
      headers: {
        host: 'localhost',
        ...(payload !== undefined && {
          'content-type': isText ? 'application/x-ndjson' : 'application/json',
        }),
        ...headers,
      },
      ...(payload !== undefined && { payload: isText ? payload : JSON.stringify(payload) }),
    });
    const type = String(answer.headers['content-type'] ?? '');
    const isJson = type.includes('json') && !type.includes('ndjson') && answer.body !== '';
    return {
      status: answer.statusCode,
      type,
      text: answer.body,
      body: (isJson ? JSON.parse(answer.body) : {}) as Record<string, unknown>, // the API answers objects
    };
  };
  const close = async (): Promise<void> => {
    await app.close();
    store.close();
  };
  atEnd(close);
  return {
    ...bench,
    app,
    routes,
    ask,
    close,
    async works() {
      const posted = await ask('POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
      const list = await ask('GET', '/api/cooks');
      const now = await ask('GET', '/api/now');
      const wrong = [posted, list, now].filter(({ status }) => status >= 400).map(({ text }) => text);
      if (wrong.length > 0) throw new Error(wrong.join('\n'));
    },
  };
}
