import type { BrowserContext, Page, Request } from 'playwright-core';
import { until } from '../server.ts';

/**
 * What keeps an element from being seen: not there, outside the viewport, or covered at its middle or near a corner.
 * Null where nothing does.
 */
export const hiddenBy = (page: Page, testid: string): Promise<string | null> =>
  page.evaluate((id) => {
    const found = [...document.querySelectorAll(`[data-testid="${id}"]`)].at(-1);
    if (!found) return 'it is not there';
    const { left, right, top, bottom, width, height } = found.getBoundingClientRect();
    if (width < 20 || height < 12) return 'it has no size';
    if (left < 0 || top < 0 || right > innerWidth || bottom > innerHeight)
      return `it runs from ${Math.round(top)} to ${Math.round(bottom)} of ${innerHeight}, ${Math.round(left)} to ${Math.round(right)} of ${innerWidth}`;
    const points = [
      [(left + right) / 2, (top + bottom) / 2],
      [left + 9, top + 9],
      [right - 9, bottom - 9],
    ] as const;
    for (const [x, y] of points) {
      const over = document.elementFromPoint(x, y);
      if (!over || !(found.contains(over) || over.contains(found)) || over === document.documentElement)
        return `at ${Math.round(x)}, ${Math.round(y)} lies ${over?.outerHTML.slice(0, 120) ?? 'nothing'}`;
    }
    return null;
  }, testid);

/** What each page waits for: its files and answers, not the live line. */
const pending = new WeakMap<Page, Set<Request>>();

export function watchRequests(context: BrowserContext): void {
  context.on('page', (page) => {
    const open = new Set<Request>();
    pending.set(page, open);
    page.on('request', (request) => open.add(request));
    for (const end of ['requestfinished', 'requestfailed'] as const)
      page.on(end as 'requestfinished', (request) => open.delete(request));
  });
}

/**
 * Until the page has all that it asked for, parts, styles and answers, has drawn it, and asked for nothing more by that.
 * What a test counts or measures as the page stands, and no words tell that it is whole, waits for this.
 */
export const settled = (page: Page): Promise<boolean> =>
  until(
    async () => {
      const isWhole = (): boolean => (pending.get(page)?.size ?? 0) === 0;
      if (!isWhole() || (await page.getByText('Fetching this page').count()) > 0) return false;
      for (let frame = 0; frame < 3; frame++)
        await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(resolve)));
      return isWhole();
    },
    (isSettled) => isSettled,
  );
