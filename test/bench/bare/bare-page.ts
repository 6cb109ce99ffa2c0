import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build, type Plugin } from 'esbuild';
import { WebSocket, WebSocketServer } from 'ws';
import { root } from '../../support/server.ts';
import { curveOf } from './bare-script.ts';

// Plain JavaScript, since it runs before anything is built: it has no types of its own.
const { shapes } = (await import(pathToFileURL(join(root, 'web', 'shape', 'shapes.mjs')).href)) as {
  shapes(bundle: typeof build): Plugin;
};

/** What comes later by `import()` is no part of the first load. */
const FIRST_LOAD_ONLY: Plugin = {
  name: 'first-load-only',
  setup: ({ onResolve }) =>
    onResolve({ filter: /./ }, ({ kind, path }) =>
      kind === 'dynamic-import' && !path.endsWith('plot.ts') ? { path, external: true } : undefined,
    ),
};

/** The page's own script as one file whose code is read and never runs: the weight without the work. */
async function weight(): Promise<string> {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: [join(root, 'web', 'main.tsx')],
    bundle: true,
    write: false,
    minify: true,
    format: 'iife',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    plugins: [FIRST_LOAD_ONLY, shapes(build)],
    logLevel: 'error',
  });
  return `function weight(){${outputFiles[0]?.text ?? ''}}`;
}

async function styles(): Promise<string> {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: [join(root, 'web', 'styles', 'main.css')],
    bundle: true,
    external: ['*.woff2'],
    write: false,
    minify: true,
    logLevel: 'error',
  });
  return outputFiles[0]?.text ?? '';
}

const HTML = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>bare</title>
<link rel="stylesheet" href="main.css"><script type="module" src="main.js"></script></head>
<body><p data-testid="sentence"></p><p data-testid="channel-stone"><span class="value"></span></p>
<canvas width="900" height="400"></canvas></body></html>`;

export type BarePage = { url: string; close(): void };

/**
 * The bare counterpart of the page: the same bytes of script and style from a bare server, the same messages over bare ws,
 * written into a few nodes and one curve by hand.
 * @param live the address of the server whose live messages it passes on
 */
export async function serveBarePage(live: string): Promise<BarePage> {
  const files = new Map<string, { type: string; bytes: Buffer }>(
    [
      ['/', 'text/html', HTML] as const,
      ['/main.css', 'text/css', await styles()] as const,
      ['/main.js', 'text/javascript', `${await weight()};(${curveOf.toString()})();`] as const,
    ].map(([path, type, text]) => [path, { type, bytes: gzipSync(text, { level: 9 }) }]),
  );
  const server = createServer((request, answer) => {
    const file = files.get(request.url ?? '/');
    if (!file) return void answer.writeHead(404).end();
    answer.writeHead(200, { 'content-type': file.type, 'content-encoding': 'gzip' }).end(file.bytes);
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  const sockets = new WebSocketServer({ server, perMessageDeflate: false });
  sockets.on('connection', (page) => {
    const source = new WebSocket(`${live.replace('http', 'ws')}/api/live`);
    source.on('message', (data: Buffer) => page.send(data, { binary: false }));
    page.on('close', () => source.terminate());
  });
  const { port } = server.address() as AddressInfo; // a TCP server has one
  return {
    url: `http://127.0.0.1:${port}/`,
    close() {
      for (const page of sockets.clients) page.terminate();
      sockets.close();
      server.closeAllConnections();
      server.close();
    },
  };
}
