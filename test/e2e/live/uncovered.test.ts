import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, it } from 'vitest';
import { openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { clearTheWay, uncover } from '../../support/page/keys.ts';
import { advance, advanceUntil, hasAlert, rehearse } from '../../support/page/replay.ts';
import { hiddenBy } from '../../support/page/seen.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, type Server } from '../../support/server.ts';
import { standAt } from '../../support/page/replay.ts';

const SMALL = { width: 320, height: 568 };
const SIDE = { width: 844, height: 390 };

let server: Server;
beforeEach(async () => {
  server = await startServer();
});

type Size = { width: number; height: number };
type Box = { x: number; y: number } & Size;

async function boxOf(page: Page, selector: string): Promise<Box> {
  const box = await page.locator(selector).first().boundingBox();
  if (!box) throw new Error(`no ${selector}`);
  return box;
}

/** Area that two have in common, px². */
const common = (a: Box, b: Box): number =>
  Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) *
  Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y));

/** A page of a recording that stands still at `t` s, opened then, with nothing calling over it. */
async function still(size: Size, file: string, t: number): Promise<Page> {
  await standAt(server, t, file, { instead: true });
  const page = await openPage(browser, server.url, size);
  await page.locator('.action-bar').waitFor();
  await uncover(page, server);
  return page;
}

describe.each([
  { name: 'a tablet', size: TABLET },
  { name: 'a phone', size: PHONE },
])('on $name', ({ size }) => {
  it('given something done, its undo lies over no line of time, key or caution', async () => {
    const page = await still(size, 'good-evening', 4500);
    await advance(server, 1);
    await page.getByTestId('vents').first().click();
    await page.getByTestId('vents-half').click();
    await page.getByTestId('undo').waitFor();
    const toast = await boxOf(page, '.toast');
    for (const other of ['.ribbon', '.action-bar', '.sentence', '.channels'])
      expect(common(toast, await boxOf(page, other)), other).toBe(0);
    for (const caution of await page.locator('.caution').all())
      expect(common(toast, (await caution.boundingBox()) ?? toast)).toBe(0);
    await page.getByTestId('undo').click();
    await page.getByTestId('undo').waitFor({ state: 'detached' });
  });

  it('given "what if", its words leave the forecast to be seen', async () => {
    const page = await still(size, 'runaway', 1500);
    // A call may come up while the finger falls.
    await expect
      .poll(async () => {
        await clearTheWay(page);
        await page.getByTestId('what-if').click({ timeout: 3000 });
      })
      .toBeUndefined();
    const words = await boxOf(page, '[data-testid=what-if-choices]');
    const canvas = await boxOf(page, '[data-testid=ribbon]');
    // A tablet is wide enough for the words over what is past.
    const ahead = { ...canvas, x: canvas.x + canvas.width / 2, width: canvas.width / 2 };
    expect(common(words, size === PHONE ? canvas : ahead)).toBe(0);
    expect(canvas.height).toBeGreaterThanOrEqual(0.28 * size.height);
  });

  it('the probes have a margin at their side, whatever page was opened before', async () => {
    const page = await openPage(browser, `${server.url}/#/probes`, size);
    await page.locator('.page.probes h2').first().waitFor();
    const { x } = await boxOf(page, '.page.probes h1');
    expect(x).toBeGreaterThanOrEqual(8);
  });

  it('given a rehearsal that is done by hand, all that steers it lies in its bar', async () => {
    const page = await openPage(browser, server.url, size);
    await page.getByTestId('practise').click();
    await page.getByTestId('rehearsal-banner').waitFor();
    await rehearse(server, { do: 'pause' });
    const real = page.getByTestId('start-real');
    await real.waitFor();
    expect(await real.evaluate((key) => key.scrollWidth - key.clientWidth)).toBeLessThanOrEqual(0);
    expect(await hiddenBy(page, 'start-real')).toBeNull();
    const bar = await boxOf(page, '.rehearsal');
    if (size === TABLET) await page.getByTestId('rehearsal-jump').waitFor();
    expect(bar.height).toBeLessThanOrEqual(64);
  });
});

describe.each([
  { name: 'the smallest phone', size: SMALL },
  { name: 'a phone on its side', size: SIDE },
])('on $name', ({ size }) => {
  it('a call shows its order, how to open the lid, and its keys without scrolling', async () => {
    const page = await openPage(browser, server.url, size);
    await rehearse(server, { do: 'start', file: 'good-evening', pace: 1, isDone: true, instead: true });
    await rehearse(server, { do: 'pause' });
    await advanceUntil(server, hasAlert('stone-ready'), 3600);
    await page.getByTestId('notice-first').waitFor();
    for (const words of ['notice-order', 'notice-first']) expect(await hiddenBy(page, words)).toBeNull();
    for (const key of ['notice-did', 'acknowledge', 'shelve']) {
      const { y, height } = await boxOf(page, `[data-testid=${key}]`);
      expect(y + height).toBeLessThanOrEqual(size.height);
    }
  });

  it('a look is typed and kept without scrolling', async () => {
    const page = await still(size, 'good-evening', 2430);
    await page.getByTestId('spot').first().click();
    await page.getByTestId('spot-keep').waitFor();
    const keys = page.locator('.look-entry button');
    for (const key of await keys.all()) {
      const box = await key.boundingBox();
      expect((box?.y ?? 0) + (box?.height ?? Infinity)).toBeLessThanOrEqual(size.height);
    }
    expect(await keys.count()).toBe(4 + 1 + 11);
  });

  it('one key alone lies over the line of time', async () => {
    const page = await still(size, 'good-evening', 4500);
    const keys = page.locator('.timeline-spans .chip:visible');
    expect(await keys.allInnerTexts()).toEqual(['Evening']);
    await keys.click();
    await expect.poll(() => keys.allInnerTexts()).toEqual([expect.stringContaining('Closer')]);
  });
});

it('on the smallest phone the names of stone and dome are read whole', async () => {
  const page = await still(SMALL, 'good-evening', 4500);
  const cut = await page
    .locator('.channel:not(.other) h2')
    .evaluateAll((names) => names.filter((name) => name.scrollWidth > name.clientWidth).length);
  expect(cut).toBe(0);
});

it('given text twice as large on a phone, the title of a sheet has a line of its own', async () => {
  const page = await still(PHONE, 'good-evening', 4500);
  await page.evaluate(() => {
    document.documentElement.style.fontSize = '200%';
  });
  await page.getByTestId('add-pizza').click();
  const title = await boxOf(page, '#sheet-title');
  const head = await boxOf(page, '.sheet-head');
  expect(title.width).toBeGreaterThan(0.9 * head.width);
});
