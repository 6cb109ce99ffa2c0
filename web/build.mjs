// Bundles the page: web/main.tsx and web/main.css, with index.html and ready-compressed copies beside them.
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import { buildOutside } from './outside/build.mjs';

const web = dirname(fileURLToPath(import.meta.url));

/** @param {{outdir: string}} options folder that the server serves; it is emptied first */
export async function buildWeb({ outdir }) {
  const { build } = await import('esbuild');
  rmSync(outdir, { recursive: true, force: true });
  mkdirSync(outdir, { recursive: true });
  await build({
    absWorkingDir: dirname(web),
    entryPoints: [
      join(web, 'main.tsx'),
      join(web, 'main.css'),
      join(web, 'probes.css'),
      join(web, 'evening.css'),
    ],
    outdir,
    bundle: true,
    splitting: true,
    chunkNames: '[name]-[hash]',
    minify: true,
    sourcemap: true,
    format: 'esm',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    legalComments: 'none',
    logLevel: 'warning',
  });
  await buildOutside(build, outdir);
  for (const name of ['index.html', 'icon.svg']) copyFileSync(join(web, name), join(outdir, name));
  for (const name of readdirSync(outdir)) if (/\.(js|css|html|svg)$/.test(name)) compress(join(outdir, name));
}

function compress(path) {
  const bytes = readFileSync(path);
  writeFileSync(`${path}.br`, brotliCompressSync(bytes));
  writeFileSync(`${path}.gz`, gzipSync(bytes, { level: 9 }));
}
