import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPage } from '../../support/page/browser.ts';
import { clearTheWay } from '../../support/page/keys.ts';
import { misfits } from '../../support/page/fit.ts';
import { SCENES } from '../../support/page/scenes.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until, type Server } from '../../support/server.ts';

const SIZES = [
  { width: 320, height: 568 },
  { width: 390, height: 844 },
  { width: 844, height: 390 },
  { width: 800, height: 1280 },
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
];
/** Of the height of the screen, by web/README.md. */
const RIBBON = { phone: 0.3, tablet: 0.35 };
const PHONE_BELOW = 700;

let server: Server;
let page: Page & { errors: string[] };
beforeAll(async () => {
  server = await startServer();
  page = await openPage(browser, server.url);
});
afterAll(() => server.stop());

/** Text as large as it is asked for at most: WCAG 2.2, 1.4.4. */
const TWICE = [
  { width: 390, height: 844 },
  { width: 1280, height: 800 },
];
const textSize = (share: string): Promise<void> =>
  page.evaluate((size) => {
    document.documentElement.style.fontSize = size;
  }, share);

/** What calls is seen, until nothing lies over the page any more. */
const uncover = (): Promise<boolean> =>
  until(
    async () => {
      await clearTheWay(page);
      return page.locator('dialog[open]').isVisible();
    },
    (isCovered) => !isCovered,
  );

/** How much of the first screen's height the line of time has, above the dock; null on other pages. */
const ribbonShare = (): Promise<number | null> =>
  page.evaluate(() => {
    const ribbon = document.querySelector('.ribbon');
    if (!ribbon) return null;
    const { top, bottom } = ribbon.getBoundingClientRect();
    const dock = document.querySelector('.dock')?.getBoundingClientRect().top ?? innerHeight;
    return (Math.min(bottom, dock) - top) / innerHeight;
  });

describe.sequential.each(SCENES)('$name', ({ hash, shows, set }) => {
  it('fits every screen and text twice as large: nothing runs off, keys are large enough and uncovered', async () => {
    await set(server);
    await page.goto('about:blank');
    await page.goto(`${server.url}/#${hash}`);
    await page.locator(shows).first().waitFor();
    const found: Record<string, string[]> = {};
    for (const size of SIZES) {
      await page.setViewportSize(size);
      await uncover();
      const wrong = await misfits(page);
      const share = await ribbonShare();
      const least = size.width < PHONE_BELOW ? RIBBON.phone : RIBBON.tablet;
      if (share !== null && share < least - 0.005)
        wrong.push(`the ribbon has ${share.toFixed(2)} of the first screen`);
      if (wrong.length > 0) found[`${size.width} × ${size.height}`] = wrong;
    }
    await textSize('200%');
    for (const size of TWICE) {
      await page.setViewportSize(size);
      await uncover();
      const wrong = await misfits(page);
      if (wrong.length > 0) found[`${size.width} × ${size.height}, text twice as large`] = wrong;
    }
    await textSize('');
    expect(found).toEqual({});
    expect(page.errors).toEqual([]);
  });
});

it('the plan of 25 pizzas on a phone is no longer than six screens', async () => {
  await page.setViewportSize({ width: 390, height: 844 });
  await page.goto(`${server.url}/#/plan`);
  await page.getByTestId('plan-pizza').nth(24).waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollHeight / innerHeight)).toBeLessThanOrEqual(
    6,
  );
});
