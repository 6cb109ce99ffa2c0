import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { root, scratch } from '../../support/server.ts';
import type { Bench, Row } from '../bench.ts';

/** What npm reads of a fresh clone. */
const CLONED = ['package.json', 'package-lock.json', '.npmrc', 'test/package.json'];

type Cost = { packages: number; megabytes: number; fetchSeconds: number; buildSeconds: number };

/** @throws where npm could not do it, with what it said */
async function npm(folder: string, ...args: string[]): Promise<number> {
  const began = performance.now();
  const child = spawn('npm', [...args, '--cache', join(folder, '.cache')], {
    cwd: folder,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let errors = '';
  child.stderr.on('data', (chunk: Buffer) => (errors += chunk.toString()));
  await once(child, 'close');
  if (child.exitCode !== 0) throw new Error(`npm ${args.join(' ')}: ${errors.slice(0, 500)}`);
  return (performance.now() - began) / 1000;
}

const bytesIn = (folder: string): number =>
  readdirSync(folder, { withFileTypes: true }).reduce((sum, entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sum + bytesIn(path);
    return entry.isFile() ? sum + statSync(path).size : sum;
  }, 0);

/** Installs as `npm start` and `npm test` do, from nothing, its cache empty too. */
async function installed(...scope: string[]): Promise<Cost> {
  const folder = scratch();
  mkdirSync(join(folder, 'test'));
  for (const file of CLONED) cpSync(join(root, file), join(folder, file));
  const fetchSeconds = await npm(folder, 'ci', ...scope, '--ignore-scripts', '--loglevel=error');
  const buildSeconds = await npm(folder, 'rebuild', '--loglevel=error');
  const modules = join(folder, 'node_modules');
  const { packages } = JSON.parse(readFileSync(join(modules, '.package-lock.json'), 'utf8')) as {
    packages: Record<string, { link?: boolean }>;
  }; // as npm writes it
  const count = Object.entries(packages).filter(
    ([path, { link }]) => path.startsWith('node_modules/') && !link,
  ).length;
  const megabytes = bytesIn(modules) / 1e6;
  rmSync(folder, { recursive: true });
  return { packages: count, megabytes, fetchSeconds, buildSeconds };
}

const UNITS = { packages: '', megabytes: 'MB', fetchSeconds: 's', buildSeconds: 's' } as const;
const NAMES = {
  packages: 'packages',
  megabytes: 'on disk, compiled',
  fetchSeconds: 'to fetch and unpack',
  buildSeconds: 'to compile',
} as const;

/** What the first `npm start` of a fresh clone costs, beside the same with what only the tests need. Takes minutes. */
export const installBench: Bench = {
  name: 'install',
  isLong: true,
  async run() {
    const start = await installed('--workspaces=false');
    const test = await installed();
    const rows = (Object.keys(UNITS) as (keyof Cost)[]).flatMap((figure): Row[] => [
      { name: `install, npm start: ${NAMES[figure]}`, value: start[figure], unit: UNITS[figure] },
      { name: `install, npm test: ${NAMES[figure]}`, value: test[figure], unit: UNITS[figure] },
    ]);
    const ratio = start.megabytes / test.megabytes;
    return [
      ...rows,
      {
        name: 'install, npm start against npm test, on disk',
        value: ratio,
        unit: '×',
        budget: { most: 0.5 },
      },
    ];
  },
};
