import type { Page } from 'playwright-core';

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
