import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Which folder may import from which, beside itself and shared. This table is the structure. */
const MAY: Record<string, readonly string[]> = {
  shared: [],
  'server/decoder': [],
  'server/conversion': [],
  'server/engine': [],
  'server/evening': [],
  'server/ingest': ['server/decoder', 'server/conversion'],
  'server/core': ['server/ingest', 'server/engine'],
  'server/source': ['server/decoder', 'server/broker'],
  'server/broker': ['server/store'],
  'server/store': [],
  'server/cook': [
    'server/core',
    'server/ingest',
    'server/conversion',
    'server/store',
    'server/source',
    'server/evening',
    'server/hub',
  ],
  'server/hub': [],
  'server/escalate': ['server/store', 'server/broker'],
  'server/access': ['server/store'],
  'server/http': [
    'server/broker',
    'server/escalate',
    'server/access',
    'server/cook',
    'server/store',
    'server/source',
    'server/decoder',
    'server/conversion',
    'server/evening',
    'server/ingest',
  ],
  'server/command': ['*'],
  server: ['server/command'],
  web: [],
};
/** Folders whose code is pure: nothing of node but what computes, no clock, no randomness. */
const PURE = [
  'shared',
  'server/decoder',
  'server/conversion',
  'server/engine',
  'server/evening',
  'server/ingest',
];
/** Each outside library that touches the world is imported in one place. */
const ONLY_IN: Record<string, RegExp> = {
  'better-sqlite3': /^server\/store\/database\.ts$/,
  fastify: /^server\/http\/(app|page|route)\.ts$/,
  '@fastify/send': /^server\/http\/page\.ts$/,
  mqtt: /^server\/broker\/mqtt-library\.ts$/,
  ws: /^server\/hub\/socket\.ts$/,
  '@abandonware/noble': /^server\/source\/ble\//,
  serialport: /^server\/source\/serial/,
  qr: /^server\/access\/qr\.ts$/,
  uplot: /^web\/lib\/plot\/plot\.ts$/,
};
const HARD_STOP = 300;
/** What a newcomer takes in at a glance: beyond it a folder is split by meaning. */
const MAX_IN_FOLDER = 12;

function filesOf(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return filesOf(path);
    return /\.tsx?$/.test(entry.name) ? [path] : [];
  });
}

const sources = ['shared', 'server', 'web']
  .filter((folder) => existsSync(join(root, folder)))
  .flatMap(filesOf);
const textOf = (file: string): string => readFileSync(join(root, file), 'utf8');

function importsOf(file: string): string[] {
  const found = textOf(file).matchAll(
    /(?:^|\n)\s*(?:import|export)\b[^'";]*?from\s*'([^']+)'|import\('([^']+)'\)|(?:^|\n)import\s+'([^']+)'/g,
  );
  return [...found].map((match) => match[1] ?? match[2] ?? match[3] ?? '');
}

/** The longest entry of the table that holds the file. */
function houseOf(file: string): string {
  const houses = Object.keys(MAY).filter((house) => file.startsWith(`${house}/`));
  return houses.sort((a, b) => b.length - a.length)[0] ?? '';
}

const local = (file: string): string[] =>
  importsOf(file)
    .filter((to) => to.startsWith('.'))
    .map((to) => relative(root, resolve(root, dirname(file), to)));

describe('the structure', () => {
  it.each(sources)('%s imports only what its folder may', (file) => {
    const house = houseOf(file);
    const allowed = MAY[house] ?? [];
    const wrong = local(file).filter((to) => {
      const other = houseOf(to);
      return other !== house && other !== 'shared' && !allowed.includes('*') && !allowed.includes(other);
    });
    expect(wrong).toEqual([]);
  });

  it('has no import cycle', () => {
    const done = new Set<string>();
    const cycles: string[] = [];
    const walk = (file: string, path: readonly string[]): void => {
      if (path.includes(file)) cycles.push([...path.slice(path.indexOf(file)), file].join(' → '));
      if (done.has(file) || path.includes(file)) return;
      for (const to of local(file)) if (sources.includes(to)) walk(to, [...path, file]);
      done.add(file);
    };
    for (const file of sources) walk(file, []);
    expect(cycles).toEqual([]);
  });

  it('keeps the middle pure: no clock, no randomness, no input or output', () => {
    const impure =
      /\bDate\.now\(|\bnew Date\(\)|\bperformance\.now\(|\bMath\.random\(|\bset(?:Timeout|Interval)\(|\bfetch\(|\bconsole\.|\bprocess\./;
    const io = /^node:(?!crypto$|buffer$)/;
    const wrong = sources.filter(
      (file) =>
        PURE.includes(houseOf(file)) &&
        (impure.test(textOf(file)) || importsOf(file).some((to) => io.test(to))),
    );
    expect(wrong).toEqual([]);
  });

  it('given the code below the commands, reads the time only where a clock is made or a turn of the loop is timed', () => {
    const clocks = /^server\/(?:command\/|cook\/live\/clock\.ts|source\/timing\.ts|store\/breath\.ts)/;
    const reads = /\b(?:Date|performance)\.now\(|\bnew Date\(\)/;
    expect(
      sources.filter((file) => file.startsWith('server/') && !clocks.test(file) && reads.test(textOf(file))),
    ).toEqual([]);
  });

  it('given what a file exports, another file of the program uses it, or a test does what the file itself uses', () => {
    const words = (file: string): string[] =>
      textOf(file)
        .replaceAll(/\/\*[^]*?\*\/|\/\/.*|\bfrom '[^']*'/g, '')
        .match(/[\w$\u0370-\u03ff]+/g) ?? [];
    const usesIn = (files: readonly string[]): Map<string, string[]> => {
      const uses = new Map<string, string[]>();
      for (const file of files)
        for (const word of new Set(words(file))) uses.set(word, [...(uses.get(word) ?? []), file]);
      return uses;
    };
    const [program, tests] = [usesIn(sources), usesIn(filesOf('test'))];
    const declared =
      /^export (?:async )?(?:const|let|function\*?|(?:abstract )?class|type|interface) ([\w$]+)/gm;
    const unused = sources.flatMap((file) =>
      [...textOf(file).matchAll(declared)].flatMap(([, name = '']) => {
        if (program.get(name)?.some((other) => other !== file)) return [];
        const isUsedHere = words(file).filter((word) => word === name).length > 1;
        return isUsedHere && tests.has(name) ? [] : [`${file}: ${name}`];
      }),
    );
    expect(unused).toEqual([]);
  });

  it('imports each library that touches the world in one place', () => {
    const wrong = sources.flatMap((file) =>
      importsOf(file).flatMap((to) =>
        ONLY_IN[to] && !ONLY_IN[to].test(file) ? [`${file} imports ${to}`] : [],
      ),
    );
    expect(wrong).toEqual([]);
  });

  it(`keeps files below ${HARD_STOP} lines of code`, () => {
    const long = sources
      .map((file) => [file, textOf(file).split('\n').length] as const)
      .filter(([, n]) => n > HARD_STOP);
    expect(long).toEqual([]);
  });

  it('given the tracked files, listed at the top level, has these and nothing more', () => {
    const tracked = execFileSync('git', ['ls-tree', '--name-only', 'HEAD'], { cwd: root, encoding: 'utf8' })
      .trim()
      .split('\n');
    const expected = [
      'package.json',
      'package-lock.json',
      'tsconfig.json',
      'README.md',
      'server/DECISIONS.md',
      'DEVELOPERS.md',
      'server',
      'web',
      'shared',
      'test',
      'fixtures',
      'LICENSE',
    ];
    expect(tracked.filter((name) => !name.startsWith('.') && !expected.includes(name))).toEqual([]);
  });
});

describe('the documents', () => {
  it.each([
    'README.md',
    'server/DECISIONS.md',
    'DEVELOPERS.md',
    'server/access/README.md',
    'server/store/README.md',
  ])('%s names only files that exist', (document) => {
    const named = [...textOf(document).matchAll(/`((?:server|shared|web|test|fixtures)\/[\w./-]+)`/g)].map(
      (match) => match[1] ?? '',
    );
    expect(named.filter((path) => !existsSync(join(root, path)))).toEqual([]);
    expect(statSync(join(root, document)).size).toBeGreaterThan(1000);
  });
});

describe('DEVELOPERS.md', () => {
  const developers = textOf('DEVELOPERS.md');
  const foldersIn = (folder: string): string[] =>
    readdirSync(join(root, folder), { withFileTypes: true })
      .filter((entry) => entry.isDirectory())
      .map((entry) => entry.name);

  it.each(foldersIn('server'))('given the folder server/%s, has a row for it', (folder) => {
    expect(developers).toContain(`| \`server/${folder}/\``);
  });

  it.each(['engine', 'cook'])(
    'given the folders of server/%s, names each of them in its row and no other',
    (house) => {
      const row = developers.split('\n').find((line) => line.startsWith(`| \`server/${house}/\``)) ?? '';
      const named = [...row.matchAll(/`(\w+)\/`/g)].map(([, name = '']) => name);
      expect(named.sort()).toEqual(foldersIn(`server/${house}`).sort());
    },
  );

  // `probe-lost` has nothing that not every alert has.
  it('given an alert, its recipe names each file that holds it', () => {
    const recipe = /- \*\*an alert\*\*[^]*?(?=\n- )/.exec(developers)?.[0] ?? '';
    const named = [...recipe.matchAll(/`((?:server|shared|web)\/[\w./-]+)`/g)].map(([, file = '']) => file);
    const holds = sources.filter((file) => /\bprobe-lost\b|\bprobeLost\b/.test(textOf(file)));
    expect(named.sort()).toEqual(holds.sort());
  });
});

it(`given any folder, it holds at most ${MAX_IN_FOLDER} files of code`, () => {
  const counts = new Map<string, number>();
  for (const file of [...sources, ...filesOf('test')])
    counts.set(dirname(file), (counts.get(dirname(file)) ?? 0) + 1);
  expect([...counts].filter(([, count]) => count > MAX_IN_FOLDER)).toEqual([]);
});

describe('comments', () => {
  const COMMENT = /\/\*\*?[^]*?\*\/|(?<!:)\/\/[^\n]*/g;
  const all = [...sources, ...filesOf('test')];
  const names = new Set(all.map((file) => file.replace(/^.*\//, '')));
  const words = new Set(all.flatMap((file) => textOf(file).replaceAll(COMMENT, '').match(/\w+/g) ?? []));
  const commentsOf = (file: string): string => (textOf(file).match(COMMENT) ?? []).join('\n');

  it('given a TypeScript file that a comment names, it exists', () => {
    const named = all.flatMap((file) => commentsOf(file).match(/(?<!\.)\b[\w-]+(?:\.test)?\.tsx?\b/g) ?? []);
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((name) => !names.has(name))).toEqual([]);
  });

  it('given a constant, function or member that a comment names in backticks, the code has it', () => {
    const named = all.flatMap((file) =>
      [...commentsOf(file).matchAll(/`([A-Za-z]\w+)(?:\(\))?`/g)].map(([, name = '']) => name),
    );
    expect(named.length).toBeGreaterThan(100);
    expect(named.filter((name) => !words.has(name))).toEqual([]);
  });
});
