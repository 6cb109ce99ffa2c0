import type { Page } from 'playwright-core';
import { beforeEach, expect, it } from 'vitest';
import { openPage } from '../../support/page/browser.ts';
import { advanceUntil, hasAlert, nowOf } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until, type Server } from '../../support/server.ts';
import { standAt } from '../../support/page/replay.ts';

/** What the page asked of the device: lines spoken, vibrations, tones begun. */
type Calls = { spoken: string[]; vibrations: number; tones: number };

let server: Server;
let page: Page;
beforeEach(async () => {
  server = await startServer();
  page = await openPage(browser, 'about:blank');
  await page.addInitScript(() => {
    const calls: Calls = { spoken: [], vibrations: 0, tones: 0 };
    Object.assign(globalThis, { calls });
    speechSynthesis.speak = ({ text }) => void calls.spoken.push(text);
    navigator.vibrate = () => {
      calls.vibrations++;
      return true;
    };
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function (when) {
      calls.tones++;
      start.call(this, when);
    };
  });
});

const calls = (): Promise<Calls> => page.evaluate(() => (globalThis as unknown as { calls: Calls }).calls);

const arePressed = async (): Promise<void> => {
  for (const key of ['speech', 'vibration'])
    await page.locator(`[data-testid=${key}][aria-pressed=true]`).waitFor();
};

/** A pizza is due for its turn, which calls; the page has been touched. */
async function call(): Promise<void> {
  await standAt(server, 4500, 'good-evening', { instead: true });
  await page.goto(`${server.url}/#/live`);
  await page.locator('.action-bar').waitFor();
  await page.getByTestId('sound-unlock').first().click();
  // Only now may it sound.
  await page.getByRole('button', { name: /This screen: sound on/ }).waitFor();
  await advanceUntil(server, hasAlert('turn-due'), 900);
  await page.locator('dialog[data-testid=notice]').waitFor();
}

it('given nothing set, a call sounds, speaks no line and does not vibrate', async () => {
  await call();
  await until(calls, ({ tones }) => tones > 0);
  expect(await calls()).toMatchObject({ spoken: [], vibrations: 0 });
});

it('given the settings, each can be tried by itself: sounds, a spoken line, vibration', async () => {
  await page.goto(`${server.url}/#/settings`);
  for (const sound of ['hear-prompt', 'hear-act', 'hear-urgent']) {
    const { tones } = await calls();
    await page.getByTestId(sound).click();
    await until(calls, (now) => now.tones > tones);
  }
  await page.getByTestId('hear-speech').click();
  await expect.poll(async () => (await calls()).spoken).toEqual(['Launch the mushroom pizza']);
  await page.getByTestId('feel').click();
  await expect.poll(async () => (await calls()).vibrations).toBe(1);
  // Trying them sets nothing.
  for (const key of ['speech', 'vibration'])
    expect(await page.getByTestId(key).getAttribute('aria-pressed')).toBe('false');
});

it('given both wanted on this device, a call is spoken and vibrates, after a reload too', async () => {
  await page.goto(`${server.url}/#/settings`);
  for (const key of ['speech', 'vibration']) await page.getByTestId(key).click();
  await arePressed();
  await page.reload();
  await arePressed();
  await call();
  const heard = await until(calls, ({ spoken, vibrations }) => spoken.length > 0 && vibrations > 0);
  const turned = (await nowOf(server)).pizzas.find(
    ({ turnedAt, launchedAt }) => launchedAt !== null && turnedAt === null,
  );
  expect(heard.spoken[0]).toContain(`Turn ${turned?.name}`);
});
