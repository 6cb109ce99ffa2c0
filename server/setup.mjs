// Set-up and the npm commands. Plain JavaScript on Node alone, since it runs before anything is installed.
//   node server/setup.mjs start|test|build|bench [arguments for that command]
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

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

/** npm keeps its own note of what it installed; older than the lock file, or made by another Node, means install. */
function ensureInstalled() {
  const abi = join(root, 'node_modules', '.node-abi');
  const fresh =
    changedAt(join(root, 'node_modules', '.package-lock.json')) >= changedAt(join(root, 'package-lock.json'));
  const sameNode = !existsSync(abi) || readFileSync(abi, 'utf8') === process.versions.modules;
  if (fresh && sameNode) return;
  console.error(
    'Installing what peelside needs (a few minutes the first time: SQLite and the radio parts are compiled) …',
  );
  if (run('npm', ['ci', '--no-fund', '--no-audit', '--loglevel=error']) !== 0)
    fail(
      'npm could not install everything: check the network and that a compiler is there (Debian: apt-get install build-essential python3).',
    );
  writeFileSync(abi, process.versions.modules);
}

function newest(folder) {
  return Math.max(
    0,
    ...readdirSync(folder, { withFileTypes: true }).map((entry) =>
      entry.isDirectory() ? newest(join(folder, entry.name)) : changedAt(join(folder, entry.name)),
    ),
  );
}

/** Stay outside the server's bundle: what is compiled for this machine, and what few need. */
const UNBUNDLED = ['better-sqlite3', '@abandonware/noble', 'serialport', 'mqtt'];
/** Packages of the older kind, bundled, still ask for node's own by `require`. */
const REQUIRE = `import { createRequire as requireOf } from 'node:module'; const require = requireOf(import.meta.url);`;

/** zod brings its messages in fifty languages; English is what is said here. */
const ENGLISH_ONLY = {
  name: 'english-only',
  setup(build) {
    build.onLoad({ filter: /zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, ({ path }) => ({
      contents: `export { default as en } from './en.js';`,
      resolveDir: dirname(path),
    }));
  },
};

/** Bundles server and page into .build: one file is read a good deal faster at a start than hundreds. */
export async function build() {
  const { build: esbuild } = await import('esbuild');
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const children = { 'ble-child': 'server/source/ble/child.ts' };
  const entries = Object.entries({ main: 'server/main.ts', ...children }).filter(([, path]) =>
    existsSync(join(root, path)),
  );
  await esbuild({
    absWorkingDir: root,
    entryPoints: Object.fromEntries(entries),
    outdir: join(built, 'server'),
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    external: UNBUNDLED,
    plugins: [ENGLISH_ONLY],
    banner: { js: REQUIRE },
    sourcemap: true,
    minifySyntax: true,
    minifyWhitespace: true,
    define: { PEELSIDE_VERSION: JSON.stringify(version) },
    logLevel: 'warning',
  });
  if (existsSync(join(root, 'web', 'build.mjs'))) {
    const { buildWeb } = await import(pathToFileURL(join(root, 'web', 'build.mjs')).href);
    await buildWeb({ outdir: join(built, 'web') });
  }
  mkdirSync(built, { recursive: true });
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
function ensureProgram(what, names, debianPackage, mend) {
  const find = () => names.map(onPath).find(Boolean);
  if (find()) return find();
  if (process.getuid?.() === 0 && onPath('apt-get')) {
    console.error(`Installing ${debianPackage} for the tests …`);
    run('apt-get', ['-qq', 'update']);
    run('apt-get', ['-qq', 'install', '-y', '--no-install-recommends', debianPackage], {
      DEBIAN_FRONTEND: 'noninteractive',
    });
  }
  return find() ?? fail(`The tests need ${what} and none was found: ${mend}`);
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
    process.argv = [process.argv[0], join(root, 'server', 'peelside.mjs'), 'serve', '--rehearse', ...args];
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

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [name, ...args] = process.argv.slice(2);
  const command =
    commands[name] ?? fail(`There is no command "${name}": use one of ${Object.keys(commands).join(', ')}.`);
  checkNode();
  ensureInstalled();
  await command(args);
}
