import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { openPage } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, until, type Server } from '../../support/server.ts';

const DAY = 86_400_000;

/** The clock of the device can be set, ms from what it is; its monotonic one runs on. */
async function withClock(page: Page): Promise<(ms: number) => Promise<void>> {
  await page.addInitScript(() => {
    const Real = Date;
    const now = Real.now.bind(Real);
    const clock = globalThis as unknown as { ahead: number };
    clock.ahead = 0;
    globalThis.Date = new Proxy(Real, {
      construct: (Own, values: []) => (values.length > 0 ? new Own(...values) : new Own(now() + clock.ahead)),
      get: (Own, name) => (name === 'now' ? () => now() + clock.ahead : (Reflect.get(Own, name) as unknown)),
    });
  });
  return (ms) =>
    page.evaluate((ahead) => void ((globalThis as unknown as { ahead: number }).ahead = ahead), ms);
}

/** "Turn First, 3:28" → 208 s. */
const countdownOf = async (page: Page): Promise<number> => {
  const [, minutes, seconds] = /(\d+):(\d\d)/.exec(await page.getByTestId('sentence').innerText()) ?? [];
  return Number(minutes) * 60 + Number(seconds);
};

/** s from what the server has to the turn of the pizza that is on the stone. */
async function secondsToTurn({ url }: Server): Promise<number> {
  const { body } = await call(url, 'GET', '/api/now');
  const [first] = body['onStone'] as { turnAt: number }[]; // as its schema says
  return (first?.turnAt ?? NaN) - Number(body['t']);
}

it('given a device whose clock is set by days forth and back, the countdown goes on as the server has it', async () => {
  const server = await startServer();
  await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 270 }] });
  await call(server.url, 'POST', '/api/pizzas', { name: 'First' });
  await call(server.url, 'POST', '/api/events', { event: 'launch' });
  const page = await openPage(browser, 'about:blank');
  const set = await withClock(page);
  await page.goto(server.url);
  let before = await until(() => countdownOf(page), Number.isFinite);
  for (const days of [3, -3, 0, -400, 0]) {
    await set(days * DAY);
    // It has counted on since, and to what the server has.
    const { shown, meant } = await until(
      async () => ({ shown: await countdownOf(page), meant: await secondsToTurn(server) }),
      ({ shown, meant }) => shown < before && Math.abs(shown - meant) <= 2,
    );
    expect([days, Math.abs(shown - meant) <= 2]).toEqual([days, true]);
    before = shown;
  }
});
