import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { violations } from '../../support/page/axe.ts';
import { LOCALE, openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { advance, rehearse } from '../../support/page/replay.ts';
import { settled } from '../../support/page/seen.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, fixture, startServer, until, type Server } from '../../support/server.ts';
import { standAt } from '../../support/page/replay.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer(['--play', fixture('good-evening'), '--pace', '1']);
  // It stands still but for what a test moves.
  await standAt(server, 3000);
});

const sentenceOf = (page: Page): Promise<string> => page.getByTestId('sentence').innerText();
const announcement = (page: Page): Promise<string | null> =>
  page.locator('main [aria-live=polite]').textContent();

describe('what keeps a call from being heard is told', () => {
  it('a sound that the browser blocks until somebody taps', async () => {
    const page = await openPage(browser, server.url);
    const unlock = page.getByTestId('sound-unlock').first();
    await unlock.waitFor();
    expect(await unlock.textContent()).toContain('Tap to switch sound on');
    await page.getByRole('button', { name: /This screen: no sound/ }).waitFor();
    const top = () => page.locator('main').evaluate((main) => main.getBoundingClientRect().top);
    const before = await top();
    await unlock.click();
    await unlock.waitFor({ state: 'hidden' });
    await page.getByRole('button', { name: /This screen: sound on/ }).waitFor();
    expect(await top()).toBe(before);
  });

  it('given a phone, the finger that switches sound on opens nothing that comes in the place of its key', async () => {
    const context = await browser.newContext({ locale: LOCALE, viewport: PHONE, hasTouch: true });
    // A fast phone: its sound is on before the click that ends the tap.
    await context.addInitScript(() =>
      Object.defineProperty(AudioContext.prototype, 'state', { get: () => 'running' }),
    );
    const page = await context.newPage();
    await page.goto(server.url);
    await page.getByTestId('sound-unlock').tap();
    await page.getByRole('button', { name: /This screen: sound on/ }).waitFor();
    expect(await page.getByRole('dialog').count()).toBe(0);
    await context.close();
  });

  it('a screen that may fall asleep', async () => {
    const context = await browser.newContext({ locale: LOCALE, viewport: TABLET });
    await context.addInitScript(() => Object.defineProperty(navigator, 'wakeLock', { value: undefined }));
    const page = await context.newPage();
    await page.goto(server.url);
    const status = page.getByRole('button', { name: /This screen: .*screen may sleep/ });
    await status.click();
    await page.getByText(/sleep/i).first().waitFor();
  });

  it('a tablet that slept for an hour says so when it wakes, then shows what is so now', async () => {
    const context = await browser.newContext({ locale: LOCALE, viewport: TABLET });
    const page = await context.newPage();
    await page.clock.install();
    await page.goto(server.url);
    await page.clock.runFor(3000);
    await page.getByTestId('channel-stone').waitFor();
    // Timers stand still for an hour, and the line to the server dies of it.
    await context.setOffline(true);
    await page.clock.fastForward(3600_000);
    await page.getByTestId('server-lost').first().waitFor();
    expect(await sentenceOf(page)).toMatch(/No word\s*,\s*for/);
    await context.setOffline(false);
    await rehearse(server, { do: 'seek', t: 3520 });
    await expect
      .poll(async () => {
        await page.clock.runFor(1000);
        return page.getByTestId('server-lost').count();
      })
      .toBe(0);
    expect(await sentenceOf(page)).not.toMatch(/No word/);
    await rehearse(server, { do: 'seek', t: 3000 });
  });

  it('a call that no page is open for, on the terminal, once', async () => {
    const alone = await startServer();
    const hot = () =>
      call(alone.url, 'POST', '/api/readings', { readings: [{ channel: 'dome', celsius: 431 }] });
    const alerts = () => Promise.resolve(alone.lines.filter((line) => line.startsWith('ALERT')));
    await until(
      async () => (await hot(), alerts()),
      (text) => text.length > 0,
    );
    for (let more = 0; more < 3; more++) await hot();
    expect(await alerts()).toEqual([
      expect.stringMatching(/^ALERT: Dome 431 °C.*\(no page is open to say so\)$/),
    ]);
  });

  it('a server that is gone', async () => {
    const other = await startServer();
    const page = await openPage(browser, other.url);
    await page.getByTestId('sentence').waitFor();
    await other.stop('SIGKILL');
    await page.getByTestId('server-lost').first().waitFor();
  });
});

describe('for everybody', () => {
  it('the unit is that of the first screen’s locale, for every screen and all that the server words, until another is chosen', async () => {
    const own = await startServer(['--play', fixture('good-evening'), '--pace', '2000']);
    const degrees = async (page: Page): Promise<number> =>
      Number.parseInt((await page.getByTestId('channel-stone').locator('.value').textContent()) ?? '', 10);
    const american = await openPage(browser, own.url, TABLET, { locale: 'en-US' });
    await until(
      async () => (await call(own.url, 'GET', '/api/settings')).body,
      ({ unit }) => unit === 'F',
    );
    const british = await openPage(browser, own.url, TABLET, { locale: 'en-GB' });
    for (const page of [american, british]) await expect.poll(() => degrees(page)).toBeGreaterThan(400);
    const input = { serveAt: new Date(Date.now() + 26 * 3600_000).toISOString(), pizzas: 2 };
    const worded = JSON.stringify((await call(own.url, 'PUT', '/api/plan', { input })).body);
    expect(worded).toContain('°F');
    expect(worded).not.toContain('°C');
    await call(own.url, 'PATCH', '/api/settings', { unit: 'C' });
    for (const page of [american, british]) await expect.poll(() => degrees(page)).toBeLessThan(350);
    for (const page of [american, british]) await page.context().close();
  });

  it('an import shows how far it is, and opens what it brought', async () => {
    const page = await openPage(browser, `${server.url}/#/past`);
    await page.getByTestId('import').waitFor({ state: 'attached' });
    await page.evaluate(() => {
      const seen = globalThis as unknown as { bars: number };
      seen.bars = 0;
      new MutationObserver(() => {
        seen.bars += document.querySelectorAll('progress[aria-label]').length;
      }).observe(document.body, { childList: true, subtree: true, attributes: true });
    });
    await page.getByTestId('import').setInputFiles(fixture('runaway'));
    await page.getByTestId('cook-curve').waitFor();
    expect(await page.evaluate(() => (globalThis as unknown as { bars: number }).bars)).toBeGreaterThan(0);
  });

  it('a screen reader hears the sentence when it comes to mean something else, not each degree', async () => {
    const page = await openPage(browser, server.url);
    await page.getByTestId('sentence').waitFor();
    expect(await page.locator('main [aria-live]').count()).toBe(1);
    const first = (await until(() => announcement(page), Boolean)) ?? '';
    const words = (text: string): string[] => text.toLowerCase().match(/[a-z]{3,}/g) ?? [];
    expect(words(first)).toEqual(expect.arrayContaining(words(await sentenceOf(page)).slice(0, 3)));
    await page.evaluate(() => {
      const counted = globalThis as unknown as { changes: number };
      counted.changes = 0;
      const region = document.querySelector('main [aria-live]');
      if (region)
        new MutationObserver(() => counted.changes++).observe(region, {
          childList: true,
          characterData: true,
          subtree: true,
        });
    });
    const clock = () => page.evaluate(() => performance.now());
    for (let second = 0; second < 6; second++) {
      await advance(server, 1);
      const from = await clock();
      // Longer than the page takes to draw what came.
      await until(clock, (ms) => ms - from > 400);
    }
    const changes = await page.evaluate(() => (globalThis as unknown as { changes: number }).changes);
    expect(changes).toBeLessThanOrEqual(1);
    await rehearse(server, { do: 'seek', t: 3530 });
    await expect.poll(() => announcement(page)).not.toBe(first);
    await rehearse(server, { do: 'seek', t: 3000 });
  });

  // WCAG 1.4.4 and 1.4.10: at 200 % a screen of 1280 × 800 has 640 × 400 CSS pixels.
  it.each(['#/', '#/plan', '#/past', '#/settings', '#/probes'])(
    'twice as large, %s loses nothing and runs off no side',
    async (hash) => {
      const context = await browser.newContext({
        locale: LOCALE,
        viewport: { width: TABLET.width / 2, height: TABLET.height / 2 },
        deviceScaleFactor: 2,
      });
      const page = await context.newPage();
      await page.goto(`${server.url}/${hash}`);
      await page.locator('main').waitFor();
      await settled(page);
      const over = await page.evaluate(() => {
        const { scrollWidth, clientWidth } = document.documentElement;
        return scrollWidth - clientWidth;
      });
      expect(over).toBeLessThanOrEqual(0);
      expect(await violations(page)).toEqual([]);
      if (hash === '#/')
        for (const id of ['sentence', 'more', 'note']) {
          const part = page.getByTestId(id).first();
          await part.scrollIntoViewIfNeeded();
          expect(await part.isVisible(), id).toBe(true);
          if (id === 'more') await part.click();
        }
    },
  );
});
