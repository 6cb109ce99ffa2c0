// Bundles the page: web/main.tsx and web/styles/main.css, with index.html and ready-compressed copies beside them.
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import { buildOutside } from './outside/build.mjs';
import { shapes } from './shape/shapes.mjs';

const web = dirname(fileURLToPath(import.meta.url));

/** The chart library's styles without those of legend and title, which no plot of the page has. */
const plotStyles = {
  name: 'plot-styles',
  setup({ onLoad }) {
    onLoad({ filter: /uPlot\.min\.css$/ }, ({ path }) => {
      const rules = readFileSync(path, 'utf8').match(/[^{}]+\{[^}]*\}/g) ?? [];
      const used = rules.filter((rule) => !/\.u-(legend|inline|series|title)/.test(rule));
      return { contents: used.join(''), loader: 'css' };
    });
  },
};

const main = join(web, 'main.tsx');

/**
 * Each part that is loaded later imports the first screen, which is always there before it. So the bundler puts all of
 * the first screen into one file, which compresses better than a file for each set of parts that share some of it.
 */
const afterMain = {
  name: 'after-main',
  setup({ onResolve, onLoad, resolve }) {
    const parts = new Set();
    onResolve({ filter: /^\./ }, async ({ path, kind, resolveDir, pluginData }) => {
      if (kind !== 'dynamic-import' || pluginData === 'resolving') return;
      const found = await resolve(path, { kind, resolveDir, pluginData: 'resolving' });
      parts.add(found.path);
      return found;
    });
    onLoad({ filter: /\.tsx?$/ }, ({ path }) => {
      if (!parts.has(path)) return;
      const loader = path.endsWith('x') ? 'tsx' : 'ts';
      return { contents: `${readFileSync(path, 'utf8')}\nimport ${JSON.stringify(main)};`, loader };
    });
  },
};

/**
 * @param {{outdir: string}} options folder that the server serves; it is emptied first
 * @returns esbuild's metafiles, which say what went into the page
 */
export async function buildWeb({ outdir }) {
  const { build } = await import('esbuild');
  rmSync(outdir, { recursive: true, force: true });
  mkdirSync(outdir, { recursive: true });
  const { metafile } = await build({
    metafile: true,
    absWorkingDir: dirname(web),
    entryPoints: [
      { in: main, out: 'main' },
      ...['main', 'probes', 'evening', 'sheets'].map((name) => ({
        in: join(web, 'styles', `${name}.css`),
        out: name,
      })),
    ],
    outdir,
    bundle: true,
    splitting: true,
    chunkNames: '[name]-[hash]',
    loader: { '.woff2': 'file' },
    plugins: [plotStyles, afterMain, shapes(build)],
    minify: true,
    sourcemap: true,
    format: 'esm',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    legalComments: 'none',
    logLevel: 'warning',
  });
  await build({
    absWorkingDir: dirname(web),
    entryPoints: [join(web, 'first', 'first.ts')],
    outdir,
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2022',
    logLevel: 'warning',
  });
  await buildOutside(build, outdir);
  copyFileSync(join(web, 'icon.svg'), join(outdir, 'icon.svg'));
  const html = readFileSync(join(web, 'index.html'), 'utf8');
  writeFileSync(join(outdir, 'index.html'), html.replace('</title>', `</title>\n${preloads(metafile)}`));
  for (const name of readdirSync(outdir)) if (/\.(js|css|html|svg)$/.test(name)) compress(join(outdir, name));
  return [metafile];
}

/** What main.js imports before it runs is asked for at once, not when main.js has come and was read. */
function preloads({ outputs }) {
  const main = Object.entries(outputs).find(([path]) => path.endsWith('/main.js'));
  const found = new Set(main ? [main[0]] : []);
  for (const path of found)
    for (const { path: other, kind } of outputs[path]?.imports ?? [])
      if (kind === 'import-statement') found.add(other);
  return [...found]
    .slice(1)
    .map((path) => `    <link rel="modulepreload" href="${basename(path)}" />`)
    .join('\n');
}

function compress(path) {
  const bytes = readFileSync(path);
  writeFileSync(`${path}.br`, brotliCompressSync(bytes));
  writeFileSync(`${path}.gz`, gzipSync(bytes, { level: 9 }));
}
