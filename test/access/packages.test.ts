import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { root } from '../support/server.ts';

type Locked = {
  version?: string;
  license?: string;
  dev?: boolean;
  optional?: boolean;
  devOptional?: boolean;
  hasInstallScript?: boolean;
  os?: string[];
};
const text = (path: string): string => readFileSync(join(root, path), 'utf8');
const lock = JSON.parse(text('package-lock.json')) as { packages: Record<string, Locked> }; // npm's own file
type Wanted = Record<'dependencies' | 'optionalDependencies' | 'devDependencies', Record<string, string>>;
const wanted = JSON.parse(text('package.json')) as Wanted; // ours

/** Licences that ask for no more than to be named; a new one is looked at by a person first. */
const KNOWN = [
  'MIT',
  'ISC',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'Apache-2.0',
  '0BSD',
  'BlueOak-1.0.0',
  'Unlicense',
  'CC0-1.0',
];
/** SPDX expressions by hand: every part of an "AND" and one of an "OR" is known. */
const isKnown = (licence: string): boolean =>
  licence
    .replaceAll(/[()]/g, '')
    .split(' AND ')
    .every((part) => part.split(' OR ').some((each) => KNOWN.includes(each.trim())));

/** The build's own notice names what it bundled. */
const notice = text('.build/third-party.txt');
const isBundled = (path: string): boolean =>
  notice.includes(`\n${path.replace(/^.*node_modules\//, '')} ${lock.packages[path]?.version} (`);

const isOfTests = (path: string): boolean => path === 'test' || path === 'node_modules/peelside-tests';
/** What is installed beside the package, or bundled into it. */
const shipped = Object.entries(lock.packages).filter(
  ([path, { dev }]) => path !== '' && !isOfTests(path) && (dev !== true || isBundled(path)),
);

/**
 * Licences of sources that a package carries inside itself, and the words by which each is known. libusb is compiled on
 * the machine that installs it, into an optional module of its own: peelside distributes no binary of it.
 */
const VENDORED: Record<string, RegExp> = {
  'usb/libusb/COPYING': /GNU LESSER GENERAL PUBLIC LICENSE\s+Version 2\.1/,
  'node-gyp/gyp/LICENSE': /Redistribution and use in source and binary forms/,
  'node-gyp/gyp/pylib/packaging/LICENSE': /Apache License|BSD/,
  'node-gyp/gyp/pylib/packaging/LICENSE.APACHE': /Apache License\s+Version 2\.0/,
  'node-gyp/gyp/pylib/packaging/LICENSE.BSD': /Redistribution and use in source and binary forms/,
  'undici/lib/web/fetch/LICENSE': /MIT License/,
};

/** As esbuild does it: a package for each platform, named after it. */
const isBinaryOf = (path: string, other: string, platform: string): boolean =>
  other === `node_modules/@${path.replace(/^.*node_modules\//, '')}/${platform}`;

function licenceFilesIn(folder: string, depth = 4): string[] {
  if (depth === 0 || !existsSync(join(root, folder))) return [];
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    if (entry.isDirectory() && entry.name !== 'node_modules')
      return licenceFilesIn(join(folder, entry.name), depth - 1);
    return /^(copying|licen[cs]e)/i.test(entry.name) ? [join(folder, entry.name)] : [];
  });
}

/** What a package says in its own package.json, where the lock file is silent. */
function licenceOf(path: string, locked: Locked): string {
  if (locked.license) return locked.license;
  const own = JSON.parse(text(join(path, 'package.json'))) as { license?: string | { type: string } }; // npm's form
  return typeof own.license === 'string' ? own.license : (own.license?.type ?? 'none');
}

describe('what peelside is shipped with', () => {
  it('has licences that are known, package by package', () => {
    const odd = shipped
      .map(([path, locked]) => [path.replace(/^.*node_modules\//, ''), licenceOf(path, locked)] as const)
      .filter(([, licence]) => !isKnown(licence));
    expect(shipped.length).toBeGreaterThan(50);
    expect(odd).toEqual([]);
  });

  it('carries sources of others only under licences that were looked at, each by its own words', () => {
    const found = shipped
      .filter(([path]) => existsSync(join(root, path)))
      .flatMap(([path]) => licenceFilesIn(path).filter((file) => dirname(file) !== path))
      .map((file) => file.replace(/^.*node_modules\//, ''));
    expect(found.length).toBeGreaterThan(0);
    expect(found.filter((file) => !VENDORED[file]?.test(text(join('node_modules', file))))).toEqual([]);
  });

  it.each([
    ['linux', 'x64'],
    ['linux', 'arm64'],
    ['darwin', 'arm64'],
  ])(
    'given the lock file, asked for %s on %s, has each native package ready-made or as source',
    (os, cpu) => {
      const native = shipped.filter(([, { hasInstallScript }]) => hasInstallScript);
      expect(native.length).toBeGreaterThan(4);
      const without = native
        .filter(([, locked]) => locked.os === undefined || locked.os.includes(os))
        .filter(([path]) => !existsSync(join(root, path, 'binding.gyp')))
        .filter(
          ([path]) => !Object.keys(lock.packages).some((other) => isBinaryOf(path, other, `${os}-${cpu}`)),
        );
      expect(without.map(([path]) => path)).toEqual([]);
    },
  );

  it('brings its own licence, and a notice with the licence text of each package that is bundled', () => {
    expect(text('LICENSE')).toMatch(/^MIT License/);
    for (const name of ['fastify', 'zod', 'ws', 'mqtt', 'preact', 'uplot', 'qr'])
      expect(notice).toMatch(new RegExp(`\\n${name} \\d+\\.\\d+\\.\\d+ \\(`));
    expect(
      notice
        .split('-'.repeat(80))
        .slice(1)
        .every((entry) => /permi|licen/i.test(entry)),
    ).toBe(true);
  });

  it('has a line in server/DECISIONS.md for every direct package, and none that is not there', () => {
    const section = text('server/DECISIONS.md').split('## Packages, and why')[1]?.split('\n## ')[0] ?? '';
    const named = [...section.matchAll(/^\| ([^|]+) \|/gm)]
      .flatMap((row) => (row[1] ?? '').split(', '))
      .filter((name) => !['package', '---'].includes(name));
    const { dependencies, optionalDependencies, devDependencies } = wanted;
    const direct = Object.keys({ ...dependencies, ...optionalDependencies, ...devDependencies });
    expect(named.sort()).toEqual(direct.sort());
  });
});

it('the pages have no script, style or handler in their text, so that the policy can forbid them', () => {
  const pages = ['web', 'web/outside', 'web/install'].flatMap((folder) =>
    readdirSync(join(root, folder))
      .filter((name) => name.endsWith('.html'))
      .map((name) => join(folder, name)),
  );
  expect(pages).toHaveLength(4);
  for (const page of pages) expect(text(page)).not.toMatch(/<style|\sstyle=|\son\w+=|<script(?![^>]*\ssrc=)/);
});
