import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { SOURCES, STANDARD } from '../sources.ts';
import { expectFrozen } from './frozen.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const files = ['shared', 'server', 'web', 'test', 'fixtures/frames', 'fixtures/tables']
  .flatMap((folder) =>
    readdirSync(`${root}${folder}`, { recursive: true, encoding: 'utf8' }).map((file) => `${folder}/${file}`),
  )
  .filter((file) => /\.(?:tsx?|json|md)$/.test(file) && !/node_modules|test\/(?:frozen|sources)/.test(file))
  .toSorted()
  .map((file) => ({ file, text: readFileSync(`${root}${file}`, 'utf8').replaceAll(/\s*\n[\s*/]*/g, ' ') }));

describe('the sources that code and checks rest on', () => {
  it('given every file, are listed once with the files that use them', () => {
    const uses = SOURCES.map(({ name, mention }) => ({
      name,
      used: files.filter(({ text }) => mention.test(text)).map(({ file }) => `  ${file}\n`),
    }));
    expect(uses.filter(({ used }) => used.length === 0).map(({ name }) => name)).toEqual([]);
    expectFrozen('sources', uses.map(({ name, used }) => `${name}\n${used.join('')}`).join('\n'));
  });

  it('given a standard that a file names, it is in the list', () => {
    const unlisted = files.flatMap(({ file, text }) =>
      [...text.matchAll(STANDARD)]
        .map(([standard]) => standard)
        .filter(
          (standard) =>
            !SOURCES.some(({ mention, name }) => mention.test(standard) || name.includes(standard)),
        )
        .map((standard) => `${file}: ${standard}`),
    );
    expect(unlisted).toEqual([]);
  });
});
