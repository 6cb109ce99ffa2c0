import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { violations } from '../../support/page/axe.ts';
import { openPage } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, fixture, startServer } from '../../support/server.ts';

it('what an imported cook taught of the grill stands on the settings page, is forgotten when asked to, grill by grill', async () => {
  const server = await startServer();
  const recording = readFileSync(fixture('good-evening'), 'utf8');
  expect((await call(server.url, 'POST', '/api/import', recording)).status).toBe(201);
  const page = await openPage(browser, `${server.url}/#/settings`);
  const known = async (): Promise<string> => (await page.getByTestId('grill-known').textContent()) ?? '';
  await expect
    .poll(async () => {
      await page.reload();
      return known();
    })
    .toMatch(/^Learnt fromone cook/);
  expect(await known()).toMatch(/Stone follows its dome after\d+ ± \d+ min/);
  expect(await violations(page)).toEqual([]);

  await page.getByTestId('grill-name').fill('The small one');
  await page.getByTestId('grill-add').click();
  await expect.poll(known).toMatch(/^Nothing yet/);
  await page.getByTestId('grill-My grill').check({ force: true });
  await expect.poll(known).toMatch(/^Learnt from/);
  await page.getByTestId('grill-forget').click();
  await page.getByTestId('ask-yes').click();
  await expect.poll(known).toMatch(/^Nothing yet/);
});
