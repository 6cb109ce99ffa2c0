// Bundles the benchmarks, which are TypeScript, and runs them: npm run bench [name …]
import { build } from 'esbuild';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const outdir = join(root, '.build', 'bench');
await build({
  absWorkingDir: root,
  entryPoints: ['test/bench/all.ts', 'test/bench/two-days.ts'],
  outdir,
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  logLevel: 'warning',
});
const { runAll } = await import(pathToFileURL(join(outdir, 'all.js')).href);
process.exitCode = await runAll(process.argv.slice(2), join(root, 'test', 'bench', 'history.jsonl'));
