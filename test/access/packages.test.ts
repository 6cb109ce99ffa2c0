import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { root } from '../support/server.ts';

type Locked = {
  version?: string;
  license?: string;
  dev?: boolean;
  optional?: boolean;
  devOptional?: boolean;
};
const text = (path: string): string => readFileSync(join(root, path), 'utf8');
const lock = JSON.parse(text('package-lock.json')) as { packages: Record<string, Locked> }; // npm's own file
const wanted = JSON.parse(text('package.json')) as { dependencies: Record<string, string> }; // ours

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
    .every((part) => part.split(' OR ').some((one) => KNOWN.includes(one.trim())));

const shipped = Object.entries(lock.packages).filter(([path, one]) => path !== '' && one.dev !== true);

/** What a package says in its own package.json, where the lock file is silent. */
function licenceOf(path: string, one: Locked): string {
  if (one.license) return one.license;
  const own = JSON.parse(text(join(path, 'package.json'))) as { license?: string | { type: string } }; // npm's form
  return typeof own.license === 'string' ? own.license : (own.license?.type ?? 'none');
}

describe('what peelside is shipped with', () => {
  it('has licences that are known, package by package', () => {
    const odd = shipped
      .map(([path, one]) => [path.replace(/^.*node_modules\//, ''), licenceOf(path, one)] as const)
      .filter(([, licence]) => !isKnown(licence));
    expect(shipped.length).toBeGreaterThan(50);
    expect(odd).toEqual([]);
  });

  it('has a line in DEVELOPERS.md for every direct package, and none that is not there', () => {
    const section =
      text('DEVELOPERS.md').split('## Runtime dependencies, and why')[1]?.split('\n## ')[0] ?? '';
    const named = [...section.matchAll(/^\| ([^|]+) \|/gm)]
      .flatMap((row) => (row[1] ?? '').split(', '))
      .filter((name) => !['package', '---'].includes(name));
    expect(named.sort()).toEqual(Object.keys(wanted.dependencies).sort());
  });
});

describe('the pages', () => {
  it('have no script, style or handler in their text, so that the policy can forbid them', () => {
    const pages = ['web', 'web/outside', 'web/install'].flatMap((folder) =>
      readdirSync(join(root, folder))
        .filter((name) => name.endsWith('.html'))
        .map((name) => join(folder, name)),
    );
    expect(pages).toHaveLength(4);
    for (const page of pages)
      expect(text(page)).not.toMatch(/<style|\sstyle=|\son\w+=|<script(?![^>]*\ssrc=)/);
  });
});
