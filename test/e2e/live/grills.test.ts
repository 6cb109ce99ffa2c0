import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { violations } from '../../support/page/axe.ts';
import { openPage } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until } from '../../support/server.ts';

it('what an imported cook taught of the grill stands on the settings page, is forgotten when asked to, grill by grill', async () => {
  const server = await startServer();
  const recording = readFileSync(new URL('../../../fixtures/good-evening.jsonl', import.meta.url));
  const imported = await fetch(`${server.url}/api/import`, {
    method: 'POST',
    headers: { 'content-type': 'application/x-ndjson' },
    body: recording,
  });
  expect(imported.status).toBe(201);
  const page = await openPage(browser, `${server.url}/#/settings`);
  const known = async (): Promise<string> => (await page.getByTestId('grill-known').textContent()) ?? '';
  await until(
    async () => {
      await page.reload();
      return known();
    },
    (text) => text.startsWith('Learnt fromone cook'),
  );
  expect(await known()).toMatch(/Stone follows its dome after\d+ ± \d+ min/);
  expect(await violations(page)).toEqual([]);

  await page.getByTestId('grill-name').fill('The small one');
  await page.getByTestId('grill-add').click();
  await until(known, (text) => text.startsWith('Nothing yet'));
  await page.getByTestId('grill-My grill').check({ force: true });
  await until(known, (text) => text.startsWith('Learnt from'));
  await page.getByTestId('grill-forget').click();
  await page.getByTestId('ask-yes').click();
  await until(known, (text) => text.startsWith('Nothing yet'));
  await page.close();
  await server.stop();
});
