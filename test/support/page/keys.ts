import type { Locator, Page } from 'playwright-core';
import { confirm } from './confirm.ts';
import { until, type Server } from '../server.ts';

/** Longer than a key rests, ms. */
const TIMEOUT_MS = 5000;

/** Taps a key of the action bar; one that does not lie there, or no longer when the finger falls, is behind the last key. */
export async function tapKey(page: Page, id: string, seconds = 180): Promise<void> {
  await until(
    async () => {
      await skipVerdict(page);
      return (await scrollTo(page, id)).click({ timeout: TIMEOUT_MS }).then(
        () => true,
        () => false,
      );
    },
    (isTapped) => isTapped,
    seconds,
  );
}

/** The key where a finger finds it now: in the open sheet, in the action bar, or behind the last key. */
async function scrollTo(page: Page, id: string): Promise<Locator> {
  const sheet = page.locator('dialog[open].sheet');
  const inSheet = sheet.getByTestId(id);
  if (await inSheet.isVisible()) return inSheet;
  if (await sheet.isVisible()) await page.keyboard.press('Escape');
  const inBar = page.locator('.action-bar').getByTestId(id);
  if (await inBar.isVisible()) return inBar;
  await page
    .getByTestId('more')
    .click({ timeout: TIMEOUT_MS })
    .catch(() => {});
  return inSheet;
}

/** The question after Off may come up when the finger is already on its way. */
async function skipVerdict(page: Page): Promise<void> {
  const skip = page.getByTestId('verdict-skip');
  if (await skip.isVisible()) await skip.click({ timeout: TIMEOUT_MS }).catch(() => {});
}

/** Says "Seen" to what calls and leaves the verdict for later, since both lie over what is to be tapped. */
export async function clearTheWay(page: Page): Promise<void> {
  const seen = page.locator('dialog[data-testid=notice]').getByTestId('acknowledge');
  if (await seen.isVisible()) await seen.click({ timeout: TIMEOUT_MS }).catch(() => {});
  await skipVerdict(page);
}

/** Taps a key and answers what it asks; a notice that lies over it, or comes while the finger falls, is seen first. */
export async function tapThrough(page: Page, server: Server, id: string): Promise<void> {
  await until(
    async () => {
      await clearTheWay(page);
      return tapKey(page, id, 8).then(
        () => true,
        () => false,
      );
    },
    (isTapped) => isTapped,
  );
  await confirm(page, server, id);
}

/** A hand that taps and counts. */
export class Hand {
  taps = 0;
  readonly page: Page;
  constructor(page: Page) {
    this.page = page;
  }

  async tap(what: string | Locator): Promise<void> {
    const key = typeof what === 'string' ? this.page.getByTestId(what).first() : what;
    await key.tap();
    this.taps++;
  }

  /** Taps a field and types. */
  async type(id: string, text: string): Promise<void> {
    await this.tap(id);
    await this.page.getByTestId(id).fill(text);
  }

  goTo(label: string): Promise<void> {
    return this.tap(this.page.getByRole('navigation').getByRole('link', { name: label }));
  }

  text(id: string): Promise<string> {
    return this.page.getByTestId(id).first().innerText();
  }
}
