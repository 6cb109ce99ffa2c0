import type { Browser } from 'playwright-core';
import { beforeAll } from 'vitest';
import { openBrowser } from './browser.ts';

/** The browser of a file of tests: open before its first, closed after its last, as its pages are after their tests. */
export let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
