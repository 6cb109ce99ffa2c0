// Set-up and the npm commands. Plain JavaScript on Node alone, since it runs before anything is installed.
//   node server/setup.mjs start|test|build|bench [arguments for that command]
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { thirdPartyNotice } from './third-party.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const built = join(root, '.build');
const MIN_NODE = [20, 19];

/** Ends with one sentence that says what was wrong and what to do. */
function fail(sentence) {
  console.error(sentence);
  process.exit(1);
}

function run(command, args, env = {}) {
  const done = spawnSync(command, args, { cwd: root, stdio: 'inherit', env: { ...process.env, ...env } });
  if (done.error) fail(`${command} could not be started (${done.error.message}); install it and try again.`);
  return done.status ?? 1;
}

function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major < MIN_NODE[0] || (major === MIN_NODE[0] && minor < MIN_NODE[1]))
    fail(`Node ${process.versions.node} is too old: install Node ${MIN_NODE.join('.')} or newer.`);
}

const changedAt = (path) => (existsSync(path) ? statSync(path).mtimeMs : 0);

/** The workspace `test` holds what only tests, checks and benchmarks need: serving does without it. */
const WITHOUT_TESTS = '--workspaces=false';
const installRecord = join(root, 'node_modules', '.peelside-installed');
const lockHash = () =>
  createHash('sha256')
    .update(readFileSync(join(root, 'package-lock.json')))
    .digest('hex');

/** What an earlier run installed: by which lock file and Node, and whether the tests' packages are there too. */
function installed() {
  try {
    return JSON.parse(readFileSync(installRecord, 'utf8'));
  } catch {
    return null;
  }
}

/** Whether somebody ran npm by hand and all that the lock file names is there, SQLite by this very Node. */
function isThereAlready() {
  try {
    const there = JSON.parse(readFileSync(join(root, 'node_modules', '.package-lock.json'), 'utf8')).packages;
    const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
    const wanted = Object.entries(packages).filter(
      ([path, { link, optional }]) => path.startsWith('node_modules/') && !link && !optional,
    );
    const isThere = ([path, { version }]) =>
      there[path]?.version === version && existsSync(join(root, path, 'package.json'));
    if (!wanted.every(isThere)) return false;
    const Database = createRequire(import.meta.url)('better-sqlite3');
    new Database(':memory:').close();
    return true;
  } catch {
    return false;
  }
}

/** Installs from the lock file what is missing; another lock file or another Node means all of it anew. */
function ensureInstalled({ withTests }) {
  const found = installed();
  const isSame = found?.lock === lockHash() && found.abi === process.versions.modules;
  if (isSame && (found.withTests || !withTests)) return;
  if (isThereAlready()) return record(true);
  console.error(
    'Installing what peelside needs (a few minutes the first time: SQLite and the radio parts are compiled) …',
  );
  const scope = withTests ? [] : [WITHOUT_TESTS];
  if (run('npm', ['ci', ...scope, '--no-fund', '--no-audit', '--loglevel=error']) !== 0)
    fail(
      'npm could not install everything: check the network and that a compiler is there (Debian: apt-get install build-essential python3).',
    );
  record(withTests);
}

function record(withTests) {
  writeFileSync(
    installRecord,
    JSON.stringify({ lock: lockHash(), abi: process.versions.modules, withTests }),
  );
}

function newest(folder) {
  return Math.max(
    0,
    ...readdirSync(folder, { withFileTypes: true }).map((entry) =>
      entry.isDirectory() ? newest(join(folder, entry.name)) : changedAt(join(folder, entry.name)),
    ),
  );
}

/** Stay outside the server's bundle: what is compiled for this machine. */
const UNBUNDLED = ['better-sqlite3', '@abandonware/noble', 'serialport'];
/** Packages of the older kind, bundled, still ask for node's own by `require`. */
const REQUIRE = `import { createRequire as requireOf } from 'node:module'; const require = requireOf(import.meta.url);`;

/** zod brings its messages in fifty languages; only English is used here. */
const ENGLISH_ONLY = {
  name: 'english-only',
  setup(build) {
    build.onLoad({ filter: /zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, ({ path }) => ({
      contents: `export { default as en } from './en.js';`,
      resolveDir: dirname(path),
    }));
  },
};

/** The MQTT library brings what only browsers and proxies need, and a copy of node's own streams: it loads in half the time. */
const MQTT_FOR_NODE = {
  name: 'mqtt-for-node',
  setup(build) {
    build.onResolve({ filter: /^readable-stream$/ }, () => ({ path: 'node:stream', external: true }));
    build.onLoad({ filter: /node_modules[\\/](socks|worker-timers)[\\/]/ }, () => ({ contents: '' }));
  },
};

/** Bundles server and page into .build: one file is read a good deal faster at a start than hundreds. */
export async function build() {
  const { build: esbuild } = await import('esbuild');
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const children = { 'ble-child': 'server/source/ble/process/child.ts' };
  const entries = Object.entries({ main: 'server/main.ts', ...children }).filter(([, path]) =>
    existsSync(join(root, path)),
  );
  const server = await esbuild({
    metafile: true,
    absWorkingDir: root,
    entryPoints: Object.fromEntries(entries),
    outdir: join(built, 'server'),
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    external: UNBUNDLED,
    plugins: [ENGLISH_ONLY, MQTT_FOR_NODE],
    banner: { js: REQUIRE },
    sourcemap: true,
    minifySyntax: true,
    minifyWhitespace: true,
    define: { PEELSIDE_VERSION: JSON.stringify(version) },
    logLevel: 'warning',
  });
  if (existsSync(join(root, 'web', 'build.mjs'))) {
    const { buildWeb } = await import(pathToFileURL(join(root, 'web', 'build.mjs')).href);
    const pages = await buildWeb({ outdir: join(built, 'web') });
    writeFileSync(join(built, 'third-party.txt'), thirdPartyNotice(root, [server.metafile, ...pages]));
  }
  writeFileSync(join(built, 'stamp'), '');
}

async function ensureBuilt() {
  const stamp = changedAt(join(built, 'stamp'));
  const sources = ['server', 'shared', 'web'].map((folder) => newest(join(root, folder)));
  if (stamp > Math.max(...sources, changedAt(join(root, 'package-lock.json')))) return;
  await build();
}

const onPath = (name) =>
  [...(process.env.PATH ?? '').split(delimiter), '/usr/sbin']
    .map((folder) => join(folder, name))
    .find(existsSync);

/** Finds a program, or installs its Debian package where this user may, or says what to do. */
function ensureProgram(what, names, debianPackage, remedy) {
  const find = () => names.map(onPath).find(Boolean);
  if (find()) return find();
  if (process.getuid?.() === 0 && onPath('apt-get')) {
    console.error(`Installing ${debianPackage} for the tests …`);
    run('apt-get', ['-qq', 'update']);
    run('apt-get', ['-qq', 'install', '-y', '--no-install-recommends', debianPackage], {
      DEBIAN_FRONTEND: 'noninteractive',
    });
  }
  return find() ?? fail(`The tests need ${what} and none was found: ${remedy}`);
}

function testTools() {
  const chromium =
    process.env.CHROMIUM ??
    ensureProgram(
      'a Chromium',
      ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'],
      'chromium',
      'install one (Debian: sudo apt-get install chromium) or set CHROMIUM to its path.',
    );
  const socat = ensureProgram(
    'socat, which makes a serial port pair',
    ['socat'],
    'socat',
    'install it (Debian: sudo apt-get install socat).',
  );
  const mosquitto = ensureProgram(
    'mosquitto, an MQTT 5 broker',
    ['mosquitto'],
    'mosquitto',
    'install it (Debian: sudo apt-get install mosquitto).',
  );
  const compiler = ensureProgram(
    'a C compiler, which makes a slow disk',
    ['cc'],
    'build-essential',
    'install one (Debian: sudo apt-get install build-essential).',
  );
  return { CHROMIUM: chromium, SOCAT: socat, MOSQUITTO: mosquitto, CC: compiler };
}

const local = (name) => join(root, 'node_modules', '.bin', name);

const commands = {
  build,
  async start(args) {
    await ensureBuilt();
    process.argv = [process.argv[0], join(root, 'server', 'peelside.mjs'), 'serve', '--open', ...args];
    await import('./peelside.mjs');
  },
  async test(args) {
    const tools = testTools();
    await ensureBuilt();
    process.exitCode = run(local('vitest'), ['run', '--config', 'test/vitest.config.ts', ...args], tools);
  },
  async bench(args) {
    const tools = testTools();
    await ensureBuilt();
    process.exitCode = run(process.execPath, ['test/bench/run.mjs', ...args], tools);
  },
};

/** Commands that need the tests' packages. */
const NEEDS_TESTS = new Set(['test', 'bench']);

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [name, ...args] = process.argv.slice(2);
  const command =
    commands[name] ?? fail(`There is no command "${name}": use one of ${Object.keys(commands).join(', ')}.`);
  checkNode();
  ensureInstalled({ withTests: NEEDS_TESTS.has(name) });
  await command(args);
}
