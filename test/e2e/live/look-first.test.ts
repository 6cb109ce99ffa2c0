import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LiveMessage, Now } from '../../../shared/api/live.ts';
import { openPage } from '../../support/page/browser.ts';
import { nowOf } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, until, type Server } from '../../support/server.ts';
import { steadyRecording } from '../../support/steady-recording.ts';
import { standAt } from '../../support/page/replay.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer(['--play', steadyRecording(270, 255), '--pace', '1']);
  await standAt(server, 400);
});

/** The same stone as nobody measures it: estimated, and looked at a while ago. */
const estimated = (now: Partial<Now>): void =>
  now.channels?.forEach((channel) => {
    if (channel.role === 'stone') Object.assign(channel, { isEstimate: true, age: 200 });
  });

it('given a stone that is likely ready, the call has the look that it asks for as its first key', async () => {
  const page = await openPage(browser, 'about:blank');
  await page.route('**/api/now', (route) => route.abort());
  await page.routeWebSocket(/\/api\/live/, (toPage) => {
    const toServer = toPage.connectToServer();
    toServer.onMessage((data) => {
      const message = JSON.parse(String(data)) as LiveMessage;
      if ('now' in message) estimated(message.now);
      toPage.send(JSON.stringify(message));
    });
  });
  await page.goto(server.url);
  const notice = page.locator('dialog[data-testid=notice]');
  await notice.getByRole('heading', { name: 'Look, then launch' }).waitFor();
  expect(await notice.getByRole('button').allInnerTexts()).toEqual(['Look', 'Launched', 'Seen']);
  await notice.getByTestId('notice-look').click();
  await page.getByTestId('spot-keep').waitFor();
  await notice.waitFor({ state: 'hidden' });
  await page.getByTestId('spot-keep').click();
  await page.getByTestId('spot-keep').waitFor({ state: 'hidden' });
  const { alerts } = await until(
    () => nowOf(server),
    ({ channels }) => channels.some(({ source }) => source === 'spot'),
  );
  expect(alerts.filter(({ state }) => state === 'unacknowledged')).toEqual([]);
});

describe('given a cook of which nothing was read yet', () => {
  let bare: Server;
  let page: Page;
  beforeAll(async () => {
    bare = await startServer();
    await call(bare.url, 'POST', '/api/cooks', {});
    await call(bare.url, 'PATCH', '/api/settings', { unit: 'F' });
    page = await openPage(browser, bare.url);
    await page.getByTestId('look').click();
    await page.getByTestId('look-value').waitFor();
  });
  afterAll(() => bare.stop());

  const placesOfKeys = (): Promise<string> =>
    page.evaluate(() =>
      [...document.querySelectorAll('.look-entry button')]
        .map((key) => key.getBoundingClientRect())
        .map(({ left, top }) => `${Math.round(left)},${Math.round(top)}`)
        .join(' '),
    );
  const type = async (digits: string): Promise<void> => {
    for (const digit of digits) await page.locator('.pad').getByText(digit, { exact: true }).click();
  };
  const choose = (channel: 'Stone' | 'Dome'): Promise<void> =>
    page.getByRole('radio', { name: channel, exact: true }).check();

  it('says the unit before a digit is typed, and changes it by the key beside the digits', async () => {
    const shown = page.getByTestId('look-value');
    expect(await shown.textContent()).toContain('°F');
    await page.getByTestId('look-other-unit').click();
    await shown.filter({ hasText: '°C' }).waitFor();
    const settings = await call(bare.url, 'GET', '/api/settings');
    expect(settings.body['unit']).toBe('C');
  });

  it('says beside the number what it comes to at the surface and why, and of the dome that it is taken as read', async () => {
    await type('251');
    // ((0.95·524.15⁴ + 0.05·293.15⁴ − 0.08·293.15⁴) / 0.92)^¼ − 273.15 = 255.05: Stefan–Boltzmann law, grey surface, air of 20 °C.
    expect(await page.getByTestId('look-surface').textContent()).toBe(
      '255 °C of the surface: cordierite stone has emissivity 0.92, the thermometer is set to 0.95.',
    );
    const before = await placesOfKeys();
    await choose('Dome');
    expect(await placesOfKeys()).toBe(before);
    await type('290');
    expect(await page.getByTestId('look-surface').textContent()).toBe('Taken as it is read.');
    expect(await placesOfKeys()).toBe(before);
    await choose('Stone');
  });

  it.each([
    [844, 390],
    [320, 568],
    [390, 844],
    [1280, 800],
  ])('on a screen of %i × %i has each key of the number in view', async (width, height) => {
    await page.setViewportSize({ width, height });
    const before = await placesOfKeys();
    await type('251');
    expect(await placesOfKeys()).toBe(before);
    const cut = await page.evaluate(() => {
      const bottom = document.querySelector('dialog[open]')?.getBoundingClientRect().bottom ?? 0;
      return [...document.querySelectorAll('.look-entry button')]
        .filter((key) => key.getBoundingClientRect().bottom > Math.min(bottom, innerHeight))
        .map((key) => key.textContent);
    });
    expect(cut).toEqual([]);
    for (let i = 0; i < 3; i++) await page.getByLabel('Erase the last digit').click();
  });
});

describe('given a stone whose temperature is known', () => {
  const type = async (page: Page, digits: string): Promise<void> => {
    for (const digit of digits) await page.locator('.pad').getByText(digit, { exact: true }).click();
  };
  const looks = async (): Promise<number> =>
    (await nowOf(server)).events.filter(({ event }) => event === 'look').length;

  it('asks about a mistyped look before it is sent, and takes the right one in its place', async () => {
    const page = await openPage(browser, server.url, { width: 320, height: 568 });
    await page.keyboard.press('Escape');
    await page.evaluate(() => document.querySelector<HTMLElement>('[data-testid=look]')?.click());
    await page.getByTestId('spot-keep').waitFor();
    const before = await looks();
    const place = (): Promise<number | undefined> =>
      page.evaluate(() => document.querySelector('.pad')?.getBoundingClientRect().top);
    const top = await place();
    await type(page, '451');
    await page.getByTestId('spot-keep').click();
    await page
      .getByTestId('look-surface')
      .getByText(/^451\? It should read about 2\d\d °C/)
      .waitFor();
    expect(await place()).toBe(top);
    expect(await looks()).toBe(before);
    await page.getByTestId('look-correct').click();
    await type(page, '268');
    await page.getByTestId('spot-keep').click();
    await page.getByTestId('spot-keep').waitFor({ state: 'hidden' });
    await expect.poll(looks).toBe(before + 1);
  });

  it('sends what was asked about by one more tap', async () => {
    const page = await openPage(browser, server.url);
    await page.evaluate(() => document.querySelector<HTMLElement>('[data-testid=look]')?.click());
    await page.getByTestId('spot-keep').waitFor();
    const before = await looks();
    await type(page, '451');
    await page.getByTestId('spot-keep').click();
    await page.getByTestId('look-send').click();
    await page.getByTestId('look-send').waitFor({ state: 'hidden' });
    await expect.poll(looks).toBe(before + 1);
  });
});
