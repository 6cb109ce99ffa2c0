import { once } from 'node:events';
import { request, type RequestOptions } from 'node:https';
import type { IncomingHttpHeaders } from 'node:http';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { WebSocket } from 'ws';
import { createAccess, type Access } from '../../server/access/rights.ts';
import { localIdentity } from '../../server/access/authority.ts';
import { createLanServer } from '../../server/command/serving/lan.ts';
import { createLine } from '../../server/hub/socket.ts';
import { buildApp } from '../../server/http/app.ts';
import { callerOf } from '../../server/http/caller.ts';
import { authorizeLive } from '../../server/http/authorisation.ts';
import { accessRoutes } from '../../server/http/routes/machine/access-routes.ts';
import { apiRoutes } from '../../server/http/routes/all-routes.ts';
import type { Route } from '../../server/http/route.ts';
import { atEnd, listen } from './endings.ts';
import { openSession, type Bench } from './session.ts';

export type LanAnswer = { status: number; headers: IncomingHttpHeaders; text: string; body: unknown };
export type Lan = Bench & {
  app: FastifyInstance;
  access: Access;
  routes: Route[];
  port: number;
  authority: string;
  /** Codes that the terminal was given. */
  shown: string[];
  ask(
    method: string,
    path: string,
    more?: { body?: unknown; headers?: Record<string, string> },
  ): Promise<LanAnswer>;
  socket(headers?: Record<string, string>, path?: string): WebSocket;
  /** Lets a device in. @returns its Cookie header */
  enter(right: 'look' | 'act'): Promise<{ id: string; cookie: string; header: string }>;
  /** How many connections the server holds. */
  connections(tell: (count: number) => void): void;
};

/** Node compares the certificate with the Host header, which tests forge: the chain alone is checked here. */
const notByName = (): undefined => undefined;

/** The server's inside behind real HTTPS on loopback, on a clock of the test's own; closed at its end. */
export async function openLan(): Promise<Lan> {
  const bench = openSession();
  const { store, clock, folder, live } = bench;
  const identity = localIdentity(join(folder, 'authority'), Date.now());
  const shown: string[] = [];
  const access = createAccess({
    shelf: store,
    clock,
    identity,
    port: () => port,
    show: (code) => shown.push(code),
    revoked: (device) => line.dismiss(device),
  });
  live.publish(bench.session);
  const line = createLine(live, (request) => authorizeLive(request, access));
  const routes = [...apiRoutes({ ...bench, version: '0.0.0' }), ...accessRoutes(access)];
  const page = join(folder, 'page');
  mkdirSync(page);
  for (const name of ['index.html', 'enter.html'])
    writeFileSync(
      join(page, name),
      `<!doctype html><head><title>${name}</title></head><div id="page"></div>`,
    );
  const app = buildApp(routes, page, '0.0.0', access, (languages) => ({
    html: `<p>271° $& ${languages}</p>`,
    styles: 'p{--count:4}',
  }));
  await app.ready();
  const server = createLanServer(
    identity,
    (request, reply) => app.routing(request, reply),
    (request) => access.principal(callerOf(request)).right !== null,
  );
  line.serve(server);
  atEnd(() => {
    line.stop();
    live.close();
    server.closeAllConnections();
    return app.close();
  });
  const port = await listen(server);
  const tls = {
    host: '127.0.0.1',
    port,
    ca: identity.authority ?? '',
    agent: false,
    checkServerIdentity: notByName,
  } satisfies RequestOptions;

  const ask: Lan['ask'] = async (method, path, { body, headers = {} } = {}) => {
    const payload = body === undefined ? '' : JSON.stringify(body);
    const sending = request({
      ...tls,
      method,
      path,
      headers: {
        ...(payload && { 'content-type': 'application/json', 'content-length': Buffer.byteLength(payload) }),
        ...headers,
      },
    });
    sending.end(payload);
    const [answer] = (await once(sending, 'response')) as [import('node:http').IncomingMessage]; // as documented
    let text = '';
    for await (const chunk of answer) text += String(chunk);
    const json = text !== '' && answer.headers['content-type']?.includes('json') === true;
    return {
      status: answer.statusCode ?? 0,
      headers: answer.headers,
      text,
      body: json ? JSON.parse(text) : null,
    };
  };
  return {
    ...bench,
    app,
    access,
    routes,
    port,
    authority: identity.authority ?? '',
    shown,
    ask,
    socket: (headers = {}, path = '/api/live') =>
      new WebSocket(`wss://127.0.0.1:${port}${path}`, {
        ca: identity.authority ?? '',
        headers,
      }),
    async enter(right) {
      const { code } = access.openCode(right);
      const { headers, body } = await ask('POST', '/api/access/enter', {
        body: { code, name: `May ${right}` },
      });
      const header = headers['set-cookie']?.[0] ?? '';
      return {
        id: String(body && typeof body === 'object' && 'device' in body ? body.device : ''),
        header,
        cookie: header.split(';')[0] ?? '',
      };
    },
    connections: (tell) => server.getConnections((_error, count) => tell(count)),
  };
}
