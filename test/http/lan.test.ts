import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { readFileSync, readdirSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { connect as connectPlain } from 'node:net';
import { connect } from 'node:tls';
import { beforeEach, describe, expect, it } from 'vitest';
import type { WebSocket } from 'ws';
import { IDLE_MS } from '../../server/access/paired-devices.ts';
import { hashOf } from '../../server/access/secret.ts';
import { needsOf, type Route } from '../../server/http/route.ts';
import { openLan, type Lan } from '../support/lan.ts';

let lan: Lan;
beforeEach(async () => {
  lan = await openLan();
});

/** What a WebSocket came to: 101 and its close code later, or the status of the refusal. */
async function opened(ws: WebSocket): Promise<number> {
  return new Promise((resolve) => {
    ws.once('open', () => resolve(101));
    ws.once('unexpected-response', (_request, response) => resolve(response.statusCode ?? 0));
    ws.on('error', () => resolve(0));
  });
}
const own = (port: number): string => `https://127.0.0.1:${port}`;
/** A path of the route with something in place of its parameters. */
const pathOf = (route: Route): string => route.path.replaceAll(/:\w+/g, '1');

describe('an unauthenticated device of the home network', () => {
  it('gets nothing from any path but the open ones, and nothing happens', async () => {
    const open: string[] = [];
    for (const route of lan.routes) {
      lan.clock.at += 1000;
      if (needsOf(route) === 'open') open.push(`${route.method} ${route.path}`);
      else
        expect([route.path, (await lan.ask(route.method, pathOf(route))).status]).toEqual([route.path, 401]);
    }
    expect(open).toEqual([
      'GET /api/access',
      'POST /api/access/enter',
      'GET /api/access/trust',
      'GET /api/access/qr.svg',
      'GET /api/access/authority.crt',
    ]);
    expect((await lan.ask('GET', '/api/openapi.json')).status).toBe(401);
    expect((await lan.ask('HEAD', '/api/now')).status).toBe(401);
    expect((await lan.ask('GET', '/%61pi/now')).status).toBe(401);
    expect((await lan.ask('GET', '/api//now')).status).toBe(404);
    expect(lan.store.cooks()).toEqual([]);
  });

  it('is led to the page that asks for the code, which the terminal then shows once', async () => {
    const first = await lan.ask('GET', '/');
    expect([first.status, first.headers.location]).toEqual([302, '/enter.html']);
    expect((await lan.ask('GET', '/enter.html')).status).toBe(200);
    expect((await lan.ask('GET', '/api/access')).body).toEqual({ right: null, device: null, lan: true });
    await lan.ask('GET', '/api/access');
    expect(lan.shown).toHaveLength(1);
    lan.clock.at += 601_000;
    await lan.ask('GET', '/api/access');
    expect(lan.shown).toHaveLength(2);
    const body = { code: lan.shown[1], name: 'Tablet' };
    expect((await lan.ask('POST', '/api/access/enter', { body })).status).toBe(201);
  });

  it('may try five codes, then waits', async () => {
    const tries = [];
    for (let i = 0; i < 6; i++)
      tries.push((await lan.ask('POST', '/api/access/enter', { body: { code: '1', name: 'x' } })).status);
    expect(tries).toEqual([403, 403, 403, 403, 403, 429]);
  });

  it('does not get in by a token of another shape, or one that nobody was given', async () => {
    for (const token of ['', 'x', 'A'.repeat(43), `${'A'.repeat(43)}'--`])
      expect(
        (await lan.ask('GET', '/api/now', { headers: { cookie: `__Host-peelside=${token}` } })).status,
      ).toBe(401);
  });
});

describe('a device that was let in', () => {
  it('gets a cookie that only this host over HTTPS has and no script can read', async () => {
    const { header, cookie } = await lan.enter('act');
    expect(header).toMatch(
      /^__Host-peelside=[\w-]{43}; Max-Age=31536000; Path=\/; Secure; HttpOnly; SameSite=Strict$/,
    );
    expect((await lan.ask('GET', '/api/now', { headers: { cookie } })).status).toBe(200);
    expect((await lan.ask('GET', '/', { headers: { cookie } })).text).toContain('index.html');
  });

  it('has what is measured in the page itself, which nobody keeps; a device that was not let in has it nowhere', async () => {
    const { cookie } = await lan.enter('look');
    const { text, headers } = await lan.ask('GET', '/', { headers: { cookie, 'accept-language': 'en-US' } });
    expect(text).toContain('<style>p{--count:4}</style></head>');
    expect(text).toContain('<div id="page"><p>271° $& en-US</p></div>');
    expect(headers['cache-control']).toBe('no-store');
    // Content Security Policy 3, 2.3.1: the digest of the element's text in base64.
    const digest = createHash('sha256').update('p{--count:4}').digest('base64');
    expect(String(headers['content-security-policy'])).toContain(`style-src 'self' 'sha256-${digest}';`);
    for (const path of ['/', '/index.html', '/?', '/?a=1', '/index.html?a', '/enter.html', '//'])
      for (const method of ['GET', 'HEAD'])
        expect((await lan.ask(method, path)).text, `${method} ${path}`).not.toContain('271');
  });

  it('looks, and acts only with the right to', async () => {
    const { cookie } = await lan.enter('look');
    for (const candidate of lan.routes.filter((route) => needsOf(route) === 'act')) {
      lan.clock.at += 1000;
      const { status } = await lan.ask(candidate.method, pathOf(candidate), { headers: { cookie } });
      expect([candidate.method, candidate.path, status]).toEqual([candidate.method, candidate.path, 403]);
    }
    expect((await lan.ask('GET', '/api/cooks', { headers: { cookie } })).status).toBe(200);
    const { cookie: acting } = await lan.enter('act');
    const started = await lan.ask('POST', '/api/cooks', { body: {}, headers: { cookie: acting } });
    expect(started.status).toBe(201);
  });

  it('is kept as a hash, not as the token', async () => {
    const { cookie } = await lan.enter('act');
    const token = cookie.slice('__Host-peelside='.length);
    const files = readdirSync(lan.folder).filter((name) => name.startsWith('peelside.sqlite'));
    const bytes = files.map((name) => readFileSync(join(lan.folder, name), 'latin1')).join('');
    expect(bytes).toContain(hashOf(token));
    expect(bytes).not.toContain(token);
  });

  it('is unauthenticated again, and its live line ends, once it is revoked', async () => {
    const [mine, other] = [await lan.enter('act'), await lan.enter('look')];
    const line = lan.socket({ cookie: other.cookie, origin: own(lan.port) });
    expect(await opened(line)).toBe(101);
    const { body } = await lan.ask('GET', '/api/access/devices', { headers: { cookie: mine.cookie } });
    expect(body).toMatchObject({
      devices: [
        { asking: true, right: 'act' },
        { id: other.id, asking: false },
      ],
    });
    const closed = once(line, 'close');
    await lan.ask('DELETE', `/api/access/devices/${other.id}`, { headers: { cookie: mine.cookie } });
    expect((await closed)[0]).toBe(1008);
    expect((await lan.ask('GET', '/api/now', { headers: { cookie: other.cookie } })).status).toBe(401);
    expect(lan.store.devices()).toHaveLength(1);
  });

  it('is unauthenticated again when it was not seen for two months', async () => {
    const { cookie } = await lan.enter('act');
    lan.clock.at += IDLE_MS - 1000;
    expect((await lan.ask('GET', '/api/now', { headers: { cookie } })).status).toBe(200);
    lan.clock.at += IDLE_MS + 1000;
    expect((await lan.ask('GET', '/api/now', { headers: { cookie } })).status).toBe(401);
  });

  it('waits when it asks too often', async () => {
    const { cookie } = await lan.enter('act');
    const statuses = new Set<number>();
    for (let i = 0; i < 320; i++)
      statuses.add((await lan.app.inject({ url: '/api/access', headers: { host: 'localhost' } })).statusCode);
    expect([...statuses]).toEqual([200]); // the server's own machine is not counted
    const admit = (): unknown => {
      try {
        return lan.access.admit({ secure: true, cookie, address: '192.168.1.9' }, 'look').right;
      } catch (error) {
        return error instanceof Error && 'code' in error ? error.code : error;
      }
    };
    const counted = Array.from({ length: 310 }, admit);
    expect(counted.filter((scope) => scope === 'act')).toHaveLength(300);
    expect(counted.at(-1)).toBe('too-many');
  });
});

describe('other sites', () => {
  it('reach nothing by a name that points here (DNS rebinding)', async () => {
    const { cookie } = await lan.enter('act');
    const foreign = [
      'pizza.example',
      `pizza.example:${lan.port}`,
      'localhost.pizza.example',
      '127.0.0.1.pizza.example',
      'localhost@pizza.example',
    ];
    for (const host of foreign)
      expect([host, (await lan.ask('GET', '/api/now', { headers: { cookie, host } })).status]).toEqual([
        host,
        403,
      ]);
    const ours = [
      `127.0.0.1:${lan.port}`,
      `[::1]:${lan.port}`,
      'localhost',
      hostname(),
      `${hostname()}.local:${lan.port}`,
    ];
    for (const host of ours)
      expect([host, (await lan.ask('GET', '/api/now', { headers: { cookie, host } })).status]).toEqual([
        host,
        200,
      ]);
  });

  it('can neither act nor look from their pages', async () => {
    const { cookie } = await lan.enter('act');
    const status = async (method: string, path: string, headers: Record<string, string>): Promise<number> =>
      (
        await lan.ask(method, path, {
          headers: { cookie, ...headers },
          ...(method === 'POST' && { body: {} }),
        })
      ).status;
    expect(await status('POST', '/api/cooks', { origin: 'https://pizza.example' })).toBe(403);
    expect(await status('POST', '/api/cooks', { origin: `http://127.0.0.1:${lan.port}` })).toBe(403);
    expect(await status('POST', '/api/cooks', { origin: 'null' })).toBe(403);
    expect(
      await status('GET', '/api/now', { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'no-cors' }),
    ).toBe(403);
    expect(await status('GET', '/api/now', { 'sec-fetch-site': 'same-site', 'sec-fetch-mode': 'cors' })).toBe(
      403,
    );
    expect(await status('GET', '/', { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate' })).toBe(
      200,
    );
    expect(
      await status('POST', '/api/cooks', { origin: own(lan.port), 'sec-fetch-site': 'same-origin' }),
    ).toBe(201);
  });

  it('cannot open the live line (cross-site WebSocket)', async () => {
    const { cookie } = await lan.enter('look');
    expect(await opened(lan.socket({}))).toBe(401);
    expect(await opened(lan.socket({ cookie, origin: 'https://pizza.example' }))).toBe(403);
    expect(await opened(lan.socket({ cookie, host: 'pizza.example' }))).toBe(403);
    expect(await opened(lan.socket({ cookie, origin: own(lan.port) }, '/api/other'))).toBe(404);
    const line = lan.socket({ cookie, origin: own(lan.port) });
    expect(await opened(line)).toBe(101);
    line.terminate();
  });

  it('cannot frame it, and the page runs no script but its own', async () => {
    const { headers } = await lan.ask('GET', '/enter.html');
    const policy = String(headers['content-security-policy']);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-resource-policy': 'same-origin',
    });
    expect((await lan.ask('GET', '/api/access')).headers['cache-control']).toBe('no-store');
  });
});

describe('connections', () => {
  it('have bounded patience', () => {
    expect(lan.app.server.headersTimeout).toBe(10_000);
    expect(lan.app.server.requestTimeout).toBe(300_000);
  });

  it('of one address are 64 at most, and the next are closed at once', async () => {
    // Without TLS, whose handshakes a busy machine may take longer over than the server waits for them.
    const closed: number[] = [];
    const sockets = Array.from({ length: 70 }, (_, i) => {
      const socket = connectPlain({ port: lan.port, host: '127.0.0.1' });
      socket.on('error', () => {});
      socket.once('close', () => closed.push(i));
      return socket.resume();
    });
    await expect.poll(() => closed.toSorted((a, b) => a - b)).toEqual([64, 65, 66, 67, 68, 69]);
    for (const socket of sockets) socket.destroy();
  });

  it('speak TLS 1.2 or newer', async () => {
    const old = connect({
      port: lan.port,
      host: '127.0.0.1',
      ca: [lan.authority],
      maxVersion: 'TLSv1.1',
      minVersion: 'TLSv1',
    });
    const [error] = (await once(old, 'error')) as [Error]; // as the event is documented
    expect(error.message).toMatch(/version|protocol/i);
  });
});
