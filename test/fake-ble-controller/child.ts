import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Bundles the radio's process as the set-up does, so that these tests never run an older one. @returns its path */
export async function buildChild(): Promise<string> {
  const folder = join(root, '.build', 'test');
  mkdirSync(folder, { recursive: true });
  const outfile = join(folder, `ble-child-${process.pid}.js`);
  await build({
    absWorkingDir: root,
    entryPoints: ['server/source/ble/process/child.ts'],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    logLevel: 'warning',
  });
  return outfile;
}
