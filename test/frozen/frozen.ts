import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect } from 'vitest';

const fileOf = (name: string): string => fileURLToPath(new URL(`expected/${name}.txt`, import.meta.url));

/**
 * Holds a text to the file of that name in `test/frozen/expected/`. `UPDATE=1` writes the file instead: what comes out
 * changes on purpose only, and the commit says why.
 */
export function expectFrozen(name: string, text: string): void {
  const file = fileOf(name);
  if (process.env['UPDATE'] === '1') writeFileSync(file, text);
  expect(text).toBe(existsSync(file) ? readFileSync(file, 'utf8') : '');
}

export const digest = (text: string): string => createHash('sha256').update(text).digest('hex').slice(0, 16);

/** Figures to a thousandth: what the sensors can carry. */
export const plain = (value: unknown): string =>
  JSON.stringify(value, (_key, each: unknown) =>
    typeof each === 'number' ? Math.round(each * 1000) / 1000 : each,
  );
