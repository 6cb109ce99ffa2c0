import { chromium, type Browser, type BrowserContextOptions, type Page } from 'playwright-core';
import { atEnd } from '../endings.ts';
import { watchRequests } from './seen.ts';
import { slowDown } from './slow.ts';

/** `npm test` finds or installs a Chromium and says where it is. */
const executablePath = process.env['CHROMIUM'];

const QUIET = [
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export const TABLET = { width: 1280, height: 800 };
/** Where temperatures are in °C. */
export const LOCALE = 'en-GB';
export const PHONE = { width: 390, height: 844 };

/** How long a page is waited for, ms: what takes a tenth of a second when idle may take half a minute on a busy machine. */
const PATIENCE_MS = 180_000;

export async function openBrowser(): Promise<Browser> {
  if (!executablePath)
    throw new Error('No Chromium is known: run these tests by "npm test", or set CHROMIUM to its path.');
  // The sandbox needs rights that containers and root do not have.
  const browser = await chromium.launch({
    executablePath,
    args: [...QUIET, '--no-sandbox'],
    timeout: PATIENCE_MS,
  });
  atEnd(() => browser.close());
  const newContext = browser.newContext.bind(browser);
  browser.newContext = async (options) => {
    const context = await newContext(options);
    context.setDefaultTimeout(PATIENCE_MS);
    watchRequests(context);
    await slowDown(context);
    atEnd(() => context.close());
    return context;
  };
  return browser;
}

/** A page that fails the test when its script throws. Further `options` are those of its browser context. */
export async function openPage(
  browser: Browser,
  url: string,
  viewport = TABLET,
  options: BrowserContextOptions = {},
): Promise<Page> {
  const context = await browser.newContext({ viewport, locale: LOCALE, ...options });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  atEnd(() => {
    if (errors.length > 0) throw new Error(`the page's script threw: ${errors.join('; ')}`);
  });
  await page.goto(url);
  return page;
}
