import type { Page } from 'playwright-core';
import { beforeAll, expect, it } from 'vitest';
import { openPage } from '../../support/page/browser.ts';
import { heldEvening } from '../../support/page/held-evening.ts';
import { advance, advanceUntil, hasAlert, nowOf, rehearse } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until, type Server } from '../../support/server.ts';

let server: Server;
let page: Page;
beforeAll(async () => {
  server = await startServer(['--play', heldEvening(), '--pace', '1']);
  await rehearse(server, { do: 'pause' });
  page = await openPage(browser, server.url);
});

/** What has the focus, and whether it is seen that it has. */
const focused = (): Promise<{ id: string; text: string; isSeen: boolean }> =>
  page.evaluate(() => {
    const at = document.activeElement;
    const { outlineStyle, outlineWidth } = at ? getComputedStyle(at) : { outlineStyle: '', outlineWidth: '' };
    return {
      id: at?.getAttribute('data-testid') ?? '',
      text: at?.textContent?.trim() ?? '',
      isSeen: outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2,
    };
  });

/** More stops than any page has. */
const MOST = 80;

/** Goes on with Tab to what is wanted, then Enter. @throws where it is never reached or a stop is not seen */
async function press(wanted: string | RegExp): Promise<void> {
  const isWanted = ({ id, text }: { id: string; text: string }): boolean =>
    typeof wanted === 'string' ? id === wanted : wanted.test(text);
  const passed: string[] = [];
  for (let i = 0; i < MOST; i++) {
    const at = await focused();
    if (isWanted(at)) {
      expect(at.isSeen, `${at.id || at.text} shows its focus`).toBe(true);
      await page.keyboard.press('Enter');
      return;
    }
    passed.push(at.id || at.text.slice(0, 20));
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab never came to ${String(wanted)}: ${passed.join(', ')}`);
}

const hasFocus = (wanted: string): Promise<void> =>
  expect.poll(async () => (await focused()).id).toBe(wanted);

/** Does what calls, once its keys rest no more; another call that comes first is seen. */
async function answer(order: string): Promise<void> {
  const headings = (): Promise<string[]> =>
    page.locator('dialog[data-testid=notice]:has(.notice-acts:not([inert])) h2').allTextContents();
  const [called] = await until(headings, (orders) => orders.length > 0);
  // The keys start on the deed.
  await hasFocus('notice-did');
  await press(called === order ? 'notice-did' : 'acknowledge');
  await until(headings, ([heading]) => heading !== called);
  if (called !== order) await answer(order);
}

it('a bake by keys alone: launched, turned, off, judged and noted', async () => {
  await advanceUntil(server, hasAlert('stone-ready'), 3600);
  await answer('Launch now');
  await expect.poll(async () => (await nowOf(server)).onStone).toHaveLength(1);
  await advanceUntil(server, hasAlert('turn-due'), 900);
  await answer('Turn now');
  await expect.poll(async () => (await nowOf(server)).pizzas[0]?.turnedAt).toEqual(expect.any(Number));
  await advanceUntil(server, hasAlert('off-due'), 900);
  await answer('Off now');
  // The stone is ready for the next at once: how the first came out is asked after it.
  await answer('Launch now');
  await advanceUntil(server, (now) => !hasAlert('stone-ready')(now), 180);
  // Its keys rest while a finger may still fall.
  await until(() => page.locator('.verdict-row:not([inert])').first().isVisible(), Boolean);
  await press('judge-base-right');
  await press('judge-top-scorched');
  await page.getByTestId('verdict').first().waitFor({ state: 'hidden' });
  const [first] = (await nowOf(server)).pizzas;
  expect(first).toMatchObject({ base: 'right', top: 'scorched' });

  await advance(server, 5);
  await expect.poll(() => page.locator('dialog[open]').count()).toBe(0);
  await press('more');
  await page.locator('dialog.sheet').waitFor();
  // Round and round: the focus does not leave what lies over the page.
  for (let i = 0; i < 20; i++) {
    await page.keyboard.press('Tab');
    const isOutside = await page.evaluate(
      () => document.activeElement !== document.body && !document.activeElement?.closest('dialog'),
    );
    expect(isOutside).toBe(false);
  }
  await press(/^Close$/);
  await page.locator('dialog.sheet').waitFor({ state: 'hidden' });
  await hasFocus('more');

  await press('more');
  await page.locator('dialog.sheet').waitFor();
  await page.keyboard.press('Escape');
  await page.locator('dialog.sheet').waitFor({ state: 'hidden' });
  await hasFocus('more');

  // Behind a sheet that led to another, the key that began it is where the focus comes back to.
  await press('more');
  await press('note');
  await press(/^Wind got up$/);
  await expect
    .poll(async () => (await nowOf(server)).events)
    .toContainEqual(expect.objectContaining({ event: 'note', note: 'Wind got up' }));
  await page.locator('dialog.sheet').waitFor({ state: 'hidden' });
  await hasFocus('more');
});

it('given a page that was only opened, the second key pressed is at the first key of what is due', async () => {
  await page.goto(server.url);
  await page.locator('.action-key').first().waitFor();
  await page.keyboard.press('Tab');
  expect((await focused()).id).toBe('to-keys');
  expect(
    await page.getByTestId('to-keys').evaluate((key) => key.getBoundingClientRect().width),
  ).toBeGreaterThan(44);
  await page.keyboard.press('Enter');
  expect(await page.evaluate(() => document.activeElement?.classList.contains('action-key'))).toBe(true);
  // A page of its own is opened by keys too.
  await press(/^Past$/);
  await page.getByTestId('past-row').first().waitFor();
});
