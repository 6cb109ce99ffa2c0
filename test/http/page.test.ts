import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { type IncomingMessage, get } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliCompressSync, brotliDecompressSync, gunzipSync, gzipSync } from 'node:zlib';
import Fastify, { type FastifyInstance } from 'fastify';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pageOf } from '../../server/http/page.ts';

const SCRIPT = 'export const stone = 271; // °C\n'.repeat(30);
const UNPACK = { br: brotliDecompressSync, gzip: gunzipSync } as Record<string, typeof gunzipSync>;

let above: string;
let app: FastifyInstance;
beforeAll(async () => {
  above = mkdtempSync(join(tmpdir(), 'peelside-page-'));
  const page = mkdtempSync(join(above, 'page-'));
  writeFileSync(join(above, 'secret.txt'), 'not of the page');
  const files = {
    'index.html': '<!doctype html>',
    'main.js': SCRIPT,
    'main.js.br': brotliCompressSync(SCRIPT),
    'main.js.gz': gzipSync(SCRIPT),
    'icon.svg': '<svg xmlns="http://www.w3.org/2000/svg"/>',
    'icon.png': Buffer.from('89504e47', 'hex'),
    'a%2e.js': 'x',
  };
  for (const [name, content] of Object.entries(files)) writeFileSync(join(page, name), content);
  app = Fastify();
  app.get('/*', pageOf(page));
  await app.listen({ host: '127.0.0.1', port: 0 });
});
afterAll(async () => {
  await app.close();
  rmSync(above, { recursive: true });
});

const ask = (url: string, headers: Record<string, string> = {}, method: 'GET' | 'HEAD' | 'POST' = 'GET') =>
  app.inject({ method, url, headers });

/** Sends a path as it is written: `inject` and `fetch` would take its dots away first. */
async function statusOf(path: string): Promise<number | undefined> {
  const { port } = app.server.address() as AddressInfo; // a TCP server has one
  const [answer] = (await once(get({ host: '127.0.0.1', port, path }), 'response')) as [IncomingMessage]; // as documented
  answer.resume();
  return answer.statusCode;
}

describe('a file of the page', () => {
  // RFC 9110, 12.5.3: the copy of the greatest weight that is there; weight 0 is "not acceptable".
  it.each([
    ['', undefined],
    ['gzip', 'gzip'],
    ['gzip, deflate, br, zstd', 'br'],
    ['br;q=0.5, gzip', 'gzip'],
    ['br;q=0, gzip;q=0', undefined],
    ['zstd', undefined],
  ])('comes whole, compressed as "%s" allows', async (accepted, encoding) => {
    const { statusCode, headers, rawPayload } = await ask('/main.js', { 'accept-encoding': accepted });
    expect(statusCode).toBe(200);
    expect(headers['content-encoding']).toBe(encoding);
    expect(headers['content-type']).toMatch(/javascript; charset=utf-8$/);
    expect(headers.vary).toBe('accept-encoding');
    expect(String(encoding ? UNPACK[encoding]?.(rawPayload) : rawPayload)).toBe(SCRIPT);
  });

  it('is the start page where none is named, and what follows a ? changes nothing', async () => {
    for (const url of ['/', '/index.html', '/?cook=3']) {
      const { body, headers } = await ask(url);
      expect([body, headers['content-type']]).toEqual(['<!doctype html>', 'text/html; charset=utf-8']);
    }
    const { headers } = await ask('/icon.png');
    expect([headers['content-type'], headers.vary]).toEqual(['image/png', undefined]);
  });

  it('is not sent again to who has it, and by HEAD only described', async () => {
    const brotli = { 'accept-encoding': 'br' };
    const first = await ask('/main.js', brotli);
    const etag = String(first.headers.etag);
    const again = await ask('/main.js', { ...brotli, 'if-none-match': etag });
    expect([again.statusCode, again.body, again.headers.vary]).toEqual([304, '', 'accept-encoding']);
    expect((await ask('/main.js', { ...brotli, 'if-none-match': 'W/"other"' })).statusCode).toBe(200);
    expect((await ask('/main.js', { 'if-none-match': etag })).statusCode).toBe(200); // another copy
    const head = await ask('/main.js', brotli, 'HEAD');
    expect([head.statusCode, head.body]).toEqual([200, '']);
    expect(head.headers['content-length']).toBe(String(first.rawPayload.length));
  });
});

describe('what is no file of the page', () => {
  it.each([
    '/../secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e/secret.txt',
    '/..\\secret.txt',
    '/./main.js',
    '//main.js',
    '/main.js/',
    '/%6dain.js',
    '/main.js%00.html',
    '/main.js.br',
    '/other.js',
  ])('is not there: %s', async (url) => {
    expect(await statusOf(url)).toBe(404);
  });

  it('is neither read nor written by other methods', async () => {
    expect((await ask('/main.js', {}, 'POST')).statusCode).toBe(404);
  });

  it('and a name is taken as it is written: %2e in it is no dot', async () => {
    expect((await ask('/a%2e.js')).body).toBe('x');
    expect((await ask('/a..js')).statusCode).toBe(404);
  });

  it.each([
    ['/plan', '/#/plan'],
    ['/past', '/#/past'],
    ['/past/12/', '/#/past/12'],
    ['/settings?x=1', '/#/settings'],
    ['/favicon.ico', '/icon.svg'],
  ])('given %s typed by hand, leads to %s', async (typed, to) => {
    const answer = await ask(typed);
    expect([301, 302]).toContain(answer.statusCode);
    expect(answer.headers.location).toBe(to);
  });

  it('given an address that no page has, answers that there is nothing', async () => {
    expect((await ask('/past/twelve')).statusCode).toBe(404);
  });
});
