// Runs everything that needs no module compiled for one Node (engine, decoders, conversion, evening, page, and the built
// commands `analyse` and `plan`) under the Node versions that people have: npm run test:node [VERSION ...]
// Plain JavaScript, since it starts other Nodes. The binaries come as packages, so that nothing is installed for good.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const VERSIONS = ['20.19.0', '22', '24'];
const FOLDERS = ['decoder', 'conversion', 'ingest', 'engine', 'evening', 'web'].map((name) => `test/${name}`);
/** Plays recordings through a server with its database, which is compiled. */
const COMPILED = 'test/web/stores/steady-headline.test.ts';
const EVENING = JSON.stringify({ serveAt: '2030-05-04T19:00:00Z', pizzas: 4 });

function fail(sentence) {
  console.error(sentence);
  process.exit(1);
}

/** Path of a Node of that version, brought into .build where it is not there yet. */
function nodeOf(version) {
  const folder = join(root, '.build', 'node', version);
  const name = `node-${process.platform}-${process.arch}`;
  const binary = join(folder, 'node_modules', name, 'bin', 'node');
  if (existsSync(binary)) return binary;
  mkdirSync(folder, { recursive: true });
  const words = ['install', '--prefix', folder, '--no-save', '--no-fund', '--no-audit', '--ignore-scripts'];
  const done = spawnSync('npm', [...words, `${name}@${version}`], { stdio: ['ignore', 'ignore', 'inherit'] });
  if (done.status !== 0 || !existsSync(binary))
    fail(
      `Node ${version} for ${process.platform}-${process.arch} can't be had: check the network, or name another version.`,
    );
  return binary;
}

function run(node, args, input) {
  const done = spawnSync(node, args, { cwd: root, input, encoding: 'utf8', maxBuffer: 1e9 });
  if (done.status !== 0) console.error(`${done.stdout.slice(-4000)}\n${done.stderr.slice(-4000)}`);
  return done.status === 0;
}

let isGood = true;
for (const version of process.argv.length > 2 ? process.argv.slice(2) : VERSIONS) {
  const node = nodeOf(version);
  const exact = spawnSync(node, ['--version'], { encoding: 'utf8' }).stdout.trim();
  const vitest = join(root, 'node_modules', 'vitest', 'vitest.mjs');
  const peelside = join(root, 'server', 'peelside.mjs');
  const results = {
    tests: run(node, [vitest, 'run', '--config', 'test/vitest.config.ts', '--exclude', COMPILED, ...FOLDERS]),
    analyse: run(node, [peelside, 'analyse', join('fixtures', 'runaway.jsonl')]),
    plan: run(node, [peelside, 'plan'], EVENING),
  };
  console.log(
    `${exact}: ${Object.entries(results)
      .map(([name, ok]) => `${name} ${ok ? 'ok' : 'FAILED'}`)
      .join(', ')}`,
  );
  isGood &&= Object.values(results).every(Boolean);
}
process.exitCode = isGood ? 0 : 1;
