import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { openPage } from '../../support/page/browser.ts';
import { tapKey, tapThrough } from '../../support/page/keys.ts';
import { heldEvening } from '../../support/page/held-evening.ts';
import { advance, advanceUntil, hasAlert, nowOf, rehearse } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, scratch, startServer, until } from '../../support/server.ts';

const dialog = (page: Page) => page.locator('dialog[data-testid=notice]');

/** How many tones the page has truly started, counted at the browser's own oscillators. */
const tones = (page: Page): Promise<number> =>
  page.evaluate(() => (globalThis as unknown as { tones: number }).tones);

/** Waits for a notice with this order, saying "Seen" to any other that comes first. */
async function noticeOf(page: Page, order: string, seconds = 180): Promise<void> {
  await until(
    async () => {
      const text = (await dialog(page).isVisible())
        ? await dialog(page)
            .locator('h2')
            .textContent()
            .catch(() => '')
        : '';
      // Only this one: another may take its place meanwhile.
      if (text && text !== order)
        await dialog(page)
          .filter({ has: page.getByRole('heading', { name: text, exact: true }) })
          .getByTestId('acknowledge')
          .click({ timeout: 5000 })
          .catch(() => {});
      return text;
    },
    (text) => text === order,
    seconds,
  );
}

async function openTwo(url: string): Promise<[Page, Page]> {
  const pages = await Promise.all([openPage(browser, 'about:blank'), openPage(browser, 'about:blank')]);
  for (const page of pages) {
    await page.addInitScript(() => {
      const counted = globalThis as unknown as { tones: number };
      counted.tones = 0;
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (when) {
        counted.tones++;
        start.call(this, when);
      };
    });
    await page.goto(url);
    await page.getByTestId('sound-unlock').first().click();
  }
  return [pages[0], pages[1]];
}

describe('a whole evening, on two pages at once', () => {
  it('climbs, calls, is answered, bakes three pizzas, runs away, is stopped and found again', async () => {
    const server = await startServer(['--play', heldEvening(), '--pace', '1']);
    await rehearse(server, { do: 'pause' });
    const [tablet, phone] = await openTwo(server.url);
    await tablet.getByTestId('rehearsal-banner').waitFor();
    expect(await phone.getByTestId('rehearsal-banner').textContent()).toMatch(/rehearsal/i);

    await advanceUntil(server, (now) => now.state === 'climbing', 900);
    await expect
      .poll(() => tablet.getByTestId('sentence').textContent())
      .toMatch(/^(Launch|Wait).*the stone climbs/s);

    const before = await tones(phone);
    await advanceUntil(server, hasAlert('stone-ready'), 3600);
    await noticeOf(tablet, 'Launch now');
    await noticeOf(phone, 'Launch now');
    await expect.poll(() => tones(phone)).toBeGreaterThan(before);
    expect((await nowOf(server)).state).toMatch(/ready|soaking/);
    await dialog(tablet).getByTestId('acknowledge').click();
    await dialog(phone).waitFor({ state: 'hidden' });

    for (let pizza = 0; pizza < 3; pizza++) {
      await tapThrough(tablet, 'launch');
      await expect.poll(async () => (await nowOf(server)).onStone).toHaveLength(1);
      await advanceUntil(server, hasAlert('turn-due'), 900);
      await noticeOf(phone, 'Turn now');
      await dialog(phone).getByTestId('notice-did').click();
      await expect
        .poll(async () => (await nowOf(server)).pizzas[pizza]?.turnedAt)
        .toEqual(expect.any(Number));
      await advanceUntil(server, hasAlert('off-due'), 900);
      await noticeOf(tablet, 'Off now');
      await dialog(tablet).getByTestId('notice-did').click();
      await expect.poll(async () => (await nowOf(server)).pizzas[pizza]?.offAt).toEqual(expect.any(Number));
      await advance(server, 30);
    }
    const baked = (await nowOf(server)).pizzas.slice(0, 3);
    for (const { launchedAt, offAt, offAfter } of baked) {
      const seconds = (offAt ?? 0) - (launchedAt ?? 0);
      expect(seconds).toBeGreaterThanOrEqual(offAfter - 30);
    }

    await rehearse(server, { do: 'start', file: 'runaway', pace: 1 });
    await rehearse(server, { do: 'pause' });
    await advanceUntil(server, hasAlert('overshoot-ahead'), 7200);
    await noticeOf(tablet, 'Close the vents');

    await dialog(tablet).getByTestId('acknowledge').click();
    await tablet.getByTestId('start-real').first().click();
    await until(
      () => nowOf(server),
      (now) => now.rehearsal === null && now.cook?.rehearsal === false,
    );
    await tablet.getByTestId('rehearsal-banner').waitFor({ state: 'hidden' });

    await tablet.goto(`${server.url}/#/past`);
    const row = tablet.getByTestId('past-row').filter({ hasText: 'A good evening' }).first();
    await row.waitFor();
    await row.locator('a').first().click();
    await tablet.getByTestId('cook-curve').waitFor();
    for (const verdict of ['verdict-base-right', 'verdict-top-scorched']) {
      const saved = tablet.waitForResponse((answer) => answer.request().method() === 'PATCH');
      await tablet.getByTestId(verdict).first().check();
      expect((await saved).status()).toBe(200);
    }
    const id = Number(/past\/(\d+)/.exec(tablet.url())?.[1]);
    const { body } = await call(server.url, 'GET', `/api/cooks/${id}`);
    const [first] = body['run'] as { pizza: { base: string; top: string } }[];
    expect(first?.pizza).toMatchObject({ base: 'right', top: 'scorched' });
  });
});

describe('a page that loses what it shows', () => {
  it('given a server that is gone, says so, and comes back by itself', async () => {
    const data = scratch();
    const first = await startServer([], data);
    await call(first.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
    const page = await openPage(browser, first.url);
    await page.getByTestId('channel-stone').waitFor();
    // What opens at a tap is fetched after the first screen.
    await page.waitForLoadState('networkidle');
    await first.stop('SIGKILL');
    await page.getByTestId('server-lost').first().waitFor();
    // What is tapped meanwhile waits, and says so.
    await tapKey(page, 'launch');
    await tapKey(page, 'spot');
    await page.getByTestId('spot-keep').click();
    await page.getByTestId('spot-keep').waitFor({ state: 'hidden' });
    expect(await page.getByTestId('unsent').first().textContent()).toMatch(
      /^2 taps wait for the server: .*launched, Stone \d+ °[CF]\.$/,
    );
    const { port } = new URL(first.url);
    const again = await startServer(['--port', port], data);
    await page.getByTestId('server-lost').first().waitFor({ state: 'hidden' });
    await expect.poll(async () => (await nowOf(again)).onStone).toHaveLength(1);
    await expect
      .poll(async () => (await nowOf(again)).events.map(({ event }) => event))
      .toEqual(expect.arrayContaining(['launch', 'look']));
  });

  it('given a part that could not be fetched, fetches it once the server gives it', async () => {
    const server = await startServer();
    await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
    const page = await openPage(browser, server.url);
    await page.route('**/sheets-*.js', (asked) => asked.abort());
    await page.reload();
    const failed = page.getByText('This page could not be fetched');
    await failed.waitFor();
    await page.unroute('**/sheets-*.js');
    await failed.waitFor({ state: 'hidden' });
    await tapKey(page, 'spot');
    await page.getByTestId('spot-keep').waitFor();
  });

  it('given a probe that falls silent, says so', async () => {
    const server = await startServer();
    const page = await openPage(browser, server.url);
    const post = () =>
      call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
    for (let i = 0; i < 4; i++) {
      await post();
      await page.waitForTimeout(500);
    }
    const tile = page.getByTestId('channel-stone');
    await tile.waitFor();
    await expect.poll(() => tile.textContent()).toMatch(/no reading|silent|old|stale/i);
  });
});

describe('a fresh start', () => {
  it('opens on the start page; one tap rehearses until "launch now", and one leaves it for a real cook', async () => {
    const server = await startServer(['--open']);
    const page = await openPage(browser, server.url);
    await page.getByTestId('start-real').waitFor();
    expect((await nowOf(server)).cook).toBeNull();
    await page.getByTestId('watch').click();
    await page.getByTestId('rehearsal-banner').waitFor();
    await rehearse(server, { do: 'pause' });
    await advanceUntil(server, hasAlert('stone-ready'), 7200);
    await noticeOf(page, 'Launch now');
    await dialog(page).getByTestId('acknowledge').click();
    await tapThrough(page, 'vents');
    await page.getByTestId('vents-half').click();
    await page.getByTestId('undo').waitFor();
    await page.getByTestId('start-real').first().click();
    await until(
      () => nowOf(server),
      (now) => now.cook !== null && !now.cook.rehearsal,
    );
    // What was done in the rehearsal can't be taken back in a real cook.
    await page.getByTestId('undo').waitFor({ state: 'detached' });
  });
});
