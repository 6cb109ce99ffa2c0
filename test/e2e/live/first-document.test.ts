import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { LOCALE, PHONE, TABLET } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until, type Server } from '../../support/server.ts';
import { steadyRecording } from '../../support/steady-recording.ts';
import { standAt } from '../../support/page/replay.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer(['--play', steadyRecording(270, 255), '--pace', '1']);
  await standAt(server, 400);
});

it('given a live line that says nothing yet, says what to do by the first document, and then that the line is silent', async () => {
  const page = await browser.newPage({ locale: LOCALE });
  await page.routeWebSocket(/\/api\/live/, () => {});
  await page.goto(server.url);
  await page.getByTestId('sentence').getByText('Launch').waitFor();
  expect(await page.getByTestId('channel-stone').textContent()).toMatch(/2[67]\d°/);
  await until(
    () => page.getByTestId('sentence').textContent(),
    (words) => !/Launch/.test(words ?? ''),
  );
  await page.close();
});

it('given a first document that does not come, says what to do by the live line', async () => {
  const page = await browser.newPage({ locale: LOCALE });
  await page.route('**/api/now', (route) => route.abort());
  await page.goto(server.url);
  await page.getByTestId('sentence').getByText('Launch').waitFor();
  await page.close();
});

/** Where each part of the headline stands, and its words. */
const headlineOf = (page: Page): Promise<unknown> =>
  page.evaluate(() =>
    ['.top nav', '.rehearsal', '.sentence', '.verb', '.count', '.channels', '.channel .value'].map((part) => {
      const found = document.querySelector(part);
      const { x, y, width, height } = found?.getBoundingClientRect() ?? new DOMRect();
      // What steers a rehearsal comes later, into room that is left for it.
      return [part, part === '.rehearsal' ? '' : found?.textContent, x, y, width, height];
    }),
  );

describe.each([TABLET, PHONE, { width: 844, height: 390 }])('on $width × $height', (viewport) => {
  it.each(['dark', 'light'] as const)(
    'given a script that has not come, all that the page then shows of its headline stands where it will, %s',
    async (colorScheme) => {
      const context = await browser.newContext({ locale: LOCALE, viewport, colorScheme });
      const page = await context.newPage();
      const refused: string[] = [];
      page.on(
        'console',
        (message) => /Content Security/.test(message.text()) && refused.push(message.text()),
      );
      await page.route('**/main.js', (route) => route.abort());
      await page.goto(server.url);
      await page.evaluate(() => document.fonts.ready);
      const first = await headlineOf(page);
      const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
      const firstGround = await ground();
      await page.unroute('**/main.js');
      await page.reload();
      await page.locator('.action-bar').waitFor();
      await page.evaluate(() => document.fonts.ready);
      expect(await headlineOf(page)).toEqual(first);
      expect(await ground()).toBe(firstGround);
      expect(await page.locator('.first, .first-old, .first-time').count()).toBe(0);
      expect(refused).toEqual([]);
    },
  );
});

it('given a script that never comes, says that its numbers are old, and of when they are', async () => {
  const page = await browser.newPage({ locale: LOCALE });
  await page.route('**/main.js', (route) => route.abort());
  await page.goto(server.url);
  await page.getByText('As of').waitFor();
  await page.locator('.first-old').waitFor({ state: 'visible' });
  expect(await page.locator('.first-old').innerText()).toMatch(
    /No word from the server since \d\d:\d\d:\d\d/,
  );
  const line = () =>
    page
      .locator('.channel .value')
      .first()
      .evaluate((value) => getComputedStyle(value).textDecorationLine);
  expect(await line()).toBe('line-through');
  await page.close();
});

it('given the address of another page, shows nothing of Live meanwhile', async () => {
  const page = await browser.newPage({ locale: LOCALE });
  await page.route('**/main.js', (route) => route.abort());
  await page.goto(`${server.url}/#/plan`);
  expect(await page.locator('.first').count()).toBe(1);
  expect(await page.locator('.first').isVisible()).toBe(false);
  await page.close();
});
