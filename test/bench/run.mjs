// Bundles the benchmarks, which are TypeScript, and runs them: npm run bench [name …]
import { build } from 'esbuild';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const outfile = join(root, '.build', 'bench', 'all.js');
await build({
  absWorkingDir: root,
  entryPoints: ['test/bench/all.ts'],
  outfile,
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  logLevel: 'warning',
});
const { runAll } = await import(pathToFileURL(outfile).href);
process.exitCode = await runAll(process.argv.slice(2));
