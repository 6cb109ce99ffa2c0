import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { openPage } from '../../support/page/browser.ts';
import { misfitsOfEveryScreen } from '../../support/page/fit.ts';
import { uncover } from '../../support/page/keys.ts';
import { SCENES } from '../../support/page/scenes.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, type Server } from '../../support/server.ts';

let server: Server;
let page: Page;
beforeAll(async () => {
  server = await startServer();
  page = await openPage(browser, server.url);
});

describe.sequential.each(SCENES)('$name', ({ hash, shows, set, opens }) => {
  it('fits every screen and text twice as large: nothing runs off, is cut or covered, keys are large enough', async () => {
    await set(server);
    await page.goto('about:blank');
    await page.goto(`${server.url}/#${hash}`);
    await page.locator(shows).first().waitFor();
    await opens?.(page);
    // Nothing lies over what has to fit.
    const found = await misfitsOfEveryScreen(page, async () => opens ?? uncover(page, server));
    expect(found).toEqual({});
  });
});

it('the plan of 25 pizzas on a phone is no longer than six screens', async () => {
  await call(server.url, 'POST', '/api/rehearsal', { do: 'leave' });
  await page.setViewportSize({ width: 390, height: 844 });
  await page.goto(`${server.url}/#/plan`);
  await page.getByTestId('plan-pizza').nth(24).waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollHeight / innerHeight)).toBeLessThanOrEqual(
    6,
  );
});
