import { readFileSync, readdirSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));
const views = readdirSync(`${root}web/view`, { recursive: true, encoding: 'utf8' });
const files = [
  'web/styles/theme.css',
  ...views.filter((name) => name.endsWith('.css')).map((name) => `web/view/${name}`),
];
const textOf = (file: string): string => readFileSync(root + file, 'utf8');
const theme = textOf('web/styles/theme.css');
const known = new Set([...theme.matchAll(/(--[\w-]+):/g)].map(([, name]) => name));
/** Set by the page itself, beside the words that they are of. */
const BY_SCRIPT = /^--(head|count)$/;

describe('the style sheets', () => {
  it.each(files)('%s takes only tokens that there are', (file) => {
    const used = [...textOf(file).matchAll(/var\((--[\w-]+)/g)].map(([, name = '']) => name);
    const own = new Set([...textOf(file).matchAll(/(--[\w-]+):/g)].map(([, name]) => name));
    expect(used.filter((name) => !known.has(name) && !own.has(name) && !BY_SCRIPT.test(name))).toEqual([]);
  });

  it.each(files)('%s sizes type in rem, so that a person who wants larger letters gets them', (file) => {
    const sizes = [...textOf(file).matchAll(/font-size:\s*([^;]+);/g)].map(([, size = '']) => size);
    expect(sizes.filter((size) => /\dpx/.test(size))).toEqual([]);
  });

  it.each(files)('given %s, uses the two weights of type alone', (file) => {
    const weights = [...textOf(file).matchAll(/font-weight:\s*([^;]+);/g)].map(([, weight = '']) => weight);
    expect(weights.filter((weight) => !/^(var\(--(plain|bold)\)|inherit|300 900)$/.test(weight))).toEqual([]);
  });

  it('ships a typeface of 30 kB at most', () => {
    const path = /url\('([^']+\.woff2)'\)/.exec(theme)?.[1] ?? '';
    expect(statSync(`${root}web/styles/${path}`).size).toBeLessThanOrEqual(30_000);
  });
});
