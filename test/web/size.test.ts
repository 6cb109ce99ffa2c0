import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { firstLoad } from '../support/page/first-load.ts';

// Plain JavaScript, since it runs before anything is built: it has no types of its own.
const { buildWeb } = (await import(new URL('../../web/build.mjs', import.meta.url).href)) as {
  buildWeb(to: { outdir: string }): Promise<void>;
};

/** What a phone at the far end of the garden fetches before it shows the first screen, bytes (our choice). */
const MOST = 75_000;

it(`fetches less than ${MOST / 1000} kB, compressed, for the first screen`, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'page-'));
  await buildWeb({ outdir: folder });
  const { names, bytes } = firstLoad(folder);
  expect(names.length).toBeGreaterThan(2);
  expect(bytes).toBeLessThanOrEqual(MOST);
});
