// Bundles what stands beside the page: the pages for strangers, the offline shell and its worker, manifest and icons.
import { createHash } from 'node:crypto';
import { copyFileSync, readFileSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const outside = dirname(fileURLToPath(import.meta.url));
const install = join(dirname(outside), 'install');

/** @param {import('esbuild')['build']} build @param {string} outdir */
export async function buildOutside(build, outdir) {
  const options = {
    outdir,
    bundle: true,
    minify: true,
    target: 'es2022',
    legalComments: 'none',
    logLevel: 'warning',
  };
  await build({
    ...options,
    format: 'esm',
    entryPoints: ['enter.ts', 'trust.ts', 'outside.css'].map((name) => join(outside, name)),
  });
  await build({
    ...options,
    format: 'esm',
    entryPoints: ['offline.ts', 'install.ts'].map((name) => join(install, name)),
  });
  for (const name of ['enter.html', 'trust.html']) copyFileSync(join(outside, name), join(outdir, name));
  for (const name of readdirSync(install))
    if (/\.(html|png|webmanifest)$/.test(name)) copyFileSync(join(install, name), join(outdir, name));
  const kept = ['offline.html', 'offline.js', 'outside.css'].map((name) => readFileSync(join(outdir, name)));
  const version = createHash('sha256').update(Buffer.concat(kept)).digest('hex').slice(0, 12);
  await build({
    ...options,
    format: 'iife',
    entryPoints: [join(install, 'worker.ts')],
    define: { OFFLINE_VERSION: JSON.stringify(version) },
  });
}
