import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { PHONE, TABLET, openBrowser } from '../support/browser.ts';
import { call, fixture, startServer, type Server } from '../support/server.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
type Found = { violations: { id: string; nodes: { target: string[] }[] }[] };

let browser: Browser;
let server: Server;
beforeAll(async () => {
  browser = await openBrowser();
  server = await startServer(['--play', fixture('good-evening'), '--pace', '10000']);
  await call(server.url, 'POST', '/api/rehearsal', { do: 'seek', t: 5000 });
  await call(server.url, 'POST', '/api/rehearsal', { do: 'pause' });
});
afterAll(async () => {
  await browser.close();
  await server.stop();
});

const PAGES = ['/', '/#/past', '/#/past/1', '/#/settings'];
const cases = PAGES.flatMap((path) =>
  (['dark', 'light'] as const).flatMap((scheme) =>
    [TABLET, PHONE].map((size) => ({ path, scheme, size, wide: size.width })),
  ),
);

// axe-core, an outside check of WCAG 2.2 at level AA.
it.each(cases)('axe finds nothing on $path, $scheme, $wide px wide', async ({ path, scheme, size }) => {
  const context = await browser.newContext({ viewport: size, colorScheme: scheme });
  const page = await context.newPage();
  await page.goto(server.url + path);
  await page.locator('main').waitFor();
  await page.waitForTimeout(700);
  await page.evaluate(axe);
  const found = await page.evaluate(async () => {
    const run = (globalThis as unknown as { axe: { run(options: object): Promise<Found> } }).axe;
    return run.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] });
  });
  expect(
    found.violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`,
    ),
  ).toEqual([]);
  const overflow = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  expect(overflow).toBeLessThanOrEqual(0);
  await context.close();
});
