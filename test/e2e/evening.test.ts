import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Now } from '../../shared/live.ts';
import { openBrowser, openPage } from '../support/browser.ts';
import { heldEvening } from '../support/held-evening.ts';
import { call, scratch, startServer, until, type Server } from '../support/server.ts';

const nowOf = async (server: Server): Promise<Now> =>
  (await call(server.url, 'GET', '/api/now')).body as unknown as Now;
const rehearse = (server: Server, act: object) => call(server.url, 'POST', '/api/rehearsal', act);
const dialog = (page: Page) => page.locator('dialog[data-testid=notice]');

/** Taps it; a notice that stands before it, or comes while the finger falls, is answered first. */
async function tapped(page: Page, id: string): Promise<void> {
  await until(
    async () => {
      const seen = dialog(page).getByTestId('acknowledge');
      if (await seen.isVisible()) await seen.click({ timeout: 1000 }).catch(() => {});
      return page
        .getByTestId(id)
        .first()
        .click({ timeout: 1000 })
        .then(() => true)
        .catch(() => false);
    },
    (done) => done,
  );
}

/** How many tones the page has truly started, counted at the browser's own oscillators. */
const tones = (page: Page): Promise<number> =>
  page.evaluate(() => (globalThis as unknown as { tones: number }).tones);

/** Waits for a notice with this order, saying "Seen" to any other that comes first. */
async function noticeOf(page: Page, order: string, seconds = 60): Promise<void> {
  await until(
    async () => {
      const text = (await dialog(page).isVisible())
        ? await dialog(page)
            .locator('h2')
            .textContent()
            .catch(() => '')
        : '';
      if (text && text !== order)
        await dialog(page)
          .getByTestId('acknowledge')
          .click({ timeout: 1000 })
          .catch(() => {});
      return text;
    },
    (text) => text === order,
    seconds,
  );
}

/** Through the climb at a run, and stands still at the moment of readiness. */
async function playToReady(server: Server): Promise<void> {
  await until(
    () => nowOf(server),
    (now) => now.state === 'ready',
    90,
  );
  await rehearse(server, { do: 'pause' });
}

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

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
  it(
    'climbs, calls, is answered, bakes three pizzas, runs away, is stopped and found again',
    { timeout: 240_000 },
    async () => {
      const server = await startServer(['--play', heldEvening(), '--pace', '1']);
      const [tablet, phone] = await openTwo(server.url);
      await rehearse(server, { do: 'pace', pace: 120 });
      await tablet.getByTestId('rehearsal-banner').waitFor();
      expect(await phone.getByTestId('rehearsal-banner').textContent()).toMatch(/rehearsal/i);

      await until(
        () => tablet.getByTestId('sentence').textContent(),
        (text) => /Stone/.test(text ?? '') && /climbing|min to|ready/i.test(text ?? ''),
      );

      const before = await tones(phone);
      await playToReady(server);
      await noticeOf(tablet, 'Launch now');
      await noticeOf(phone, 'Launch now');
      expect(await tones(phone)).toBeGreaterThan(before);
      expect((await nowOf(server)).state).toMatch(/ready|soaking/);
      await dialog(tablet).getByTestId('acknowledge').click();
      await dialog(phone).waitFor({ state: 'hidden', timeout: 2000 });

      await rehearse(server, { do: 'pace', pace: 60 });
      await rehearse(server, { do: 'resume' });
      for (let pizza = 0; pizza < 3; pizza++) {
        await tapped(tablet, 'launch');
        await until(
          () => nowOf(server),
          (now) => now.onStone.length === 1,
        );
        await noticeOf(phone, 'Turn now');
        await dialog(phone).getByTestId('notice-did').click();
        await until(
          () => nowOf(server),
          (now) => now.pizzas[pizza]?.turnedAt != null,
        );
        await noticeOf(tablet, 'Off now');
        await dialog(tablet).getByTestId('notice-did').click();
        await until(
          () => nowOf(server),
          (now) => now.pizzas[pizza]?.offAt != null,
        );
      }
      const baked = (await nowOf(server)).pizzas.slice(0, 3);
      for (const { launchedAt, offAt, offAfter } of baked) {
        const seconds = (offAt ?? 0) - (launchedAt ?? 0);
        expect(seconds).toBeGreaterThanOrEqual(offAfter - 30);
      }

      await rehearse(server, { do: 'start', file: 'runaway', pace: 120 });
      await noticeOf(tablet, 'Close the vents');
      expect((await nowOf(server)).alerts.map((one) => one.alert)).toContain('overshoot-ahead');

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
        const kept = tablet.waitForResponse((answer) => answer.request().method() === 'PATCH');
        await tablet.getByTestId(verdict).first().check();
        expect((await kept).status()).toBe(200);
      }
      const id = Number(/past\/(\d+)/.exec(tablet.url())?.[1]);
      const { body } = await call(server.url, 'GET', `/api/cooks/${id}`);
      const [first] = body['run'] as { pizza: { base: string; top: string } }[];
      expect(first?.pizza).toMatchObject({ base: 'right', top: 'scorched' });
      expect([
        ...(tablet as unknown as { troubles: string[] }).troubles,
        ...(phone as unknown as { troubles: string[] }).troubles,
      ]).toEqual([]);
      await server.stop();
    },
  );
});

describe('a page that loses what it shows', () => {
  it(
    'says so within 5 s when the server is gone, and comes back by itself',
    { timeout: 60_000 },
    async () => {
      const data = scratch();
      const first = await startServer([], data);
      await call(first.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
      const page = await openPage(browser, first.url);
      await page.getByTestId('channel-stone').waitFor();
      await first.stop('SIGKILL');
      await page.getByTestId('server-lost').first().waitFor({ timeout: 5000 });
      const { port } = new URL(first.url);
      const again = await startServer(['--port', port], data);
      await page.getByTestId('server-lost').first().waitFor({ state: 'hidden', timeout: 15_000 });
      await again.stop();
    },
  );

  it('says so within 5 s when a probe falls silent', { timeout: 60_000 }, async () => {
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
    await until(
      () => tile.textContent(),
      (text) => /no reading|silent|old|stale/i.test(text ?? ''),
      7,
    );
    await server.stop();
  });
});

describe('npm start without a probe', () => {
  it(
    'rehearses until "launch now", and one tap leaves it for a real cook',
    { timeout: 120_000 },
    async () => {
      const server = await startServer(['--rehearse', '--pace', '200']);
      const page = await openPage(browser, server.url);
      await page.getByTestId('rehearsal-banner').waitFor();
      await playToReady(server);
      await playToReady(server);
      await noticeOf(page, 'Launch now', 90);
      await dialog(page).getByTestId('acknowledge').click();
      await tapped(page, 'vents');
      await page.getByTestId('undo').waitFor();
      await page.getByTestId('start-real').first().click();
      await until(
        () => nowOf(server),
        (now) => now.cook !== null && !now.cook.rehearsal,
      );
      // What was done in the rehearsal can't be taken back in a real cook.
      await page.getByTestId('undo').waitFor({ state: 'detached', timeout: 2000 });
      await server.stop();
    },
  );
});
