import type { BrowserContext, Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { aimAt, isAnswered, tapKey } from '../../support/page/keys.ts';
import { nowOf } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, until, type Server } from '../../support/server.ts';

let server: Server;
let tablet: Page;
let phone: Page;
beforeEach(async () => {
  server = await startServer();
  await call(server.url, 'POST', '/api/cooks', {});
  for (const name of ['Ada', 'Ben']) await call(server.url, 'POST', '/api/pizzas', { name });
  tablet = await openPage(browser, server.url, TABLET);
  phone = await openPage(browser, server.url, PHONE);
  for (const page of [tablet, phone]) await page.getByTestId('launch').waitFor();
});
afterEach(async () => {
  for (const page of [tablet, phone]) await page.context().close();
});

const said = (page: Page, words: RegExp): Promise<string | null> =>
  until(
    () => page.getByTestId('sentence').textContent(),
    (text) => words.test(text ?? ''),
  );
const launches = async (): Promise<number> =>
  (await nowOf(server)).events.filter(({ event, undone }) => event === 'launch' && !undone).length;

it('a launch on one is seen on the other, and so is what is taken back', async () => {
  await tapKey(tablet, 'launch');
  await said(phone, /Turn Ada/);
  await tapKey(phone, 'turn');
  await said(tablet, /Take Ada off/);
  await phone.getByTestId('undo').first().click();
  await said(tablet, /Turn Ada/);
});

it.each([0, 50, 100])('a launch tapped on both, %d ms apart, launches one pizza once', async (apart) => {
  const tapAt = await Promise.all([tablet, phone].map((page) => aimAt(page, 'launch')));
  const soon = Date.now() + 200;
  await Promise.all(tapAt.map((tap, i) => tap(soon + i * apart)));
  for (const page of [tablet, phone]) await said(page, /Turn Ada/);
  // Both taps have been answered once neither page has anything on its way.
  for (const page of [tablet, phone]) await isAnswered(page);
  expect(await launches()).toBe(1);
  expect((await nowOf(server)).onStone.map(({ pizza }) => pizza)).toEqual(['p1']);
});

it('given a pizza on the stone, a reload goes on with the same countdown', async () => {
  await tapKey(tablet, 'launch');
  await said(tablet, /Turn Ada/);
  await tablet.reload();
  const text = await said(tablet, /Turn Ada/);
  const [, minutes = '', seconds = ''] = /(\d+):(\d\d)/.exec(text ?? '') ?? [];
  const { onStone, t } = await nowOf(server);
  const left = (onStone[0]?.turnAt ?? 0) - (t ?? 0);
  // What was read before the server was asked can only be more, by as long as that took.
  const shown = 60 * Number(minutes) + Number(seconds);
  expect(shown).toBeGreaterThanOrEqual(Math.floor(left) - 1);
  expect(shown).toBeLessThanOrEqual(onStone[0] ? onStone[0].turnAt! - onStone[0].launchedAt : 0);
});

/** Lets nothing that this device tapped through to the server. @returns how often it tried */
async function holdBack(context: BrowserContext): Promise<() => Promise<number>> {
  let tries = 0;
  await context.route('**/api/events', async (route) => {
    await route.abort();
    // Counted only now: Chromium lets a request through that is held while its page is reloaded.
    tries++;
  });
  return async () => tries;
}

it('given a server that is away, what was tapped survives a reload and counts from when it was tapped', async () => {
  const { port } = new URL(server.url);
  const { data } = server;
  await server.stop('SIGKILL');
  await tablet.getByTestId('server-lost').first().waitFor();
  const before = Date.now();
  await tapKey(tablet, 'launch');
  const after = Date.now();
  await tablet.getByTestId('unsent').first().waitFor();
  const tries = await holdBack(tablet.context());
  server = await startServer(['--port', port], data);
  // It tries once it hears the server again.
  await expect.poll(tries).toBeGreaterThan(0);
  await tablet.reload();
  const tried = await tries();
  await expect.poll(tries).toBeGreaterThan(tried);
  expect(await launches()).toBe(0);
  await tablet.context().unroute('**/api/events');
  await expect.poll(async () => (await nowOf(server)).onStone).toHaveLength(1);
  const { onStone, cook } = await nowOf(server);
  const launchedAt = Date.parse(cook?.startedAt ?? '') + 1000 * (onStone[0]?.launchedAt ?? 0);
  expect(launchedAt).toBeGreaterThan(before - 2000);
  expect(launchedAt).toBeLessThan(after + 2000);
  expect(await launches()).toBe(1);
});

it.each(['more', 'vents', 'pizza'])(
  'given %s opened over the page, back closes it and the cook stays',
  async (key) => {
    await tablet.getByTestId(key).first().click();
    await tablet.locator('dialog.sheet').waitFor();
    await tablet.goBack();
    await tablet.locator('dialog.sheet').waitFor({ state: 'hidden' });
    await tablet.getByTestId('launch').waitFor();
    await tablet.reload();
    await tablet.getByTestId('launch').waitFor();
    expect(await tablet.locator('dialog[open]').count()).toBe(0);
  },
);
