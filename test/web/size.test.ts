import { mkdtempSync, readFileSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';

// Plain JavaScript, since it runs before anything is built: it has no types of its own.
const { buildWeb } = (await import(new URL('../../web/build.mjs', import.meta.url).href)) as {
  buildWeb(to: { outdir: string }): Promise<void>;
};

/** What a phone at the far end of the garden fetches before it shows the first screen, bytes (our choice). */
const MOST = 70_000;

/** A script and all that it imports before it runs; what it fetches later by `import()` is not among them. */
function firstLoad(folder: string, name: string, found = new Set<string>()): Set<string> {
  if (found.has(name)) return found;
  found.add(name);
  const text = readFileSync(join(folder, name), 'utf8');
  for (const [, other] of text.matchAll(/(?:from|import)\s*"\.\/([\w-]+\.js)"/g))
    if (other) firstLoad(folder, other, found);
  return found;
}

it(`fetches less than ${MOST / 1000} kB, compressed, for the first screen`, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'page-'));
  await buildWeb({ outdir: folder });
  const names = [...firstLoad(folder, 'main.js'), 'main.css'];
  expect(names.length).toBeGreaterThan(2);
  const bytes = names.map((name) => statSync(join(folder, `${name}.gz`)).size);
  expect(bytes.reduce((sum, one) => sum + one, 0)).toBeLessThanOrEqual(MOST);
});
