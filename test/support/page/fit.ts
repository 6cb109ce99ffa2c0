import type { Page } from 'playwright-core';

/** The least side of a key, CSS pixels: WCAG 2.2, 2.5.5 target size (enhanced). It may reach beyond what is drawn. */
const LEAST_KEY = 44;

/**
 * What does not fit on the page as it stands: wider than the screen, keys too small, outside or covered at their middle,
 * words of a key that are cut. Links within a sentence may be as high as its line (WCAG 2.2, 2.5.5, inline).
 */
export const misfits = (page: Page): Promise<string[]> =>
  page.evaluate((least) => {
    const root = document.documentElement;
    const over = root.scrollWidth - root.clientWidth;
    const found = over > 0 ? [`the page is ${over} px wider than the screen`] : [];

    const nameOf = (key: Element): string =>
      `${key.tagName.toLowerCase()} "${(key.getAttribute('aria-label') ?? key.textContent ?? '').trim().slice(0, 40)}"` +
      ` ${key.getAttribute('data-testid') ?? key.className}`;
    const isInSentence = (key: Element): boolean =>
      key.tagName === 'A' && getComputedStyle(key).display === 'inline';
    /** A box to tick is hit by its label, too. */
    const areaOf = (key: Element): Element =>
      (key instanceof HTMLInputElement && /checkbox|radio|file/.test(key.type) && key.closest('label')) ||
      key;

    const dialog = [...document.querySelectorAll('dialog[open]')].at(-1);
    const keys = [
      ...(dialog ?? document).querySelectorAll<HTMLElement>('a, button, input, select, textarea, summary'),
    ].filter((key) => key.checkVisibility({ visibilityProperty: true }) && key.getClientRects().length > 0);
    for (const key of keys) {
      const area = areaOf(key);
      if (area.getBoundingClientRect().width <= 1 || isInSentence(key)) continue;
      area.scrollIntoView({ block: 'center', inline: 'center', behavior: 'instant' });
      const { left, top, width, height } = area.getBoundingClientRect();
      const x = left + width / 2;
      const y = top + height / 2;
      const reach = least / 2 - 1;
      const isHit = (dx: number, dy: number): boolean =>
        area.contains(document.elementFromPoint(x + dx, y + dy));
      const isSmall =
        (width < least && !(isHit(-reach, 0) && isHit(reach, 0))) ||
        (height < least && !(isHit(0, -reach) && isHit(0, reach)));
      if (isSmall) found.push(`${nameOf(key)} is ${Math.round(width)} × ${Math.round(height)} px`);
      const hit = document.elementFromPoint(x, y);
      if (!hit || !(area.contains(hit) || hit.contains(area)) || hit === root || hit === document.body)
        found.push(
          `${nameOf(key)} at ${Math.round(x)}, ${Math.round(y)} lies under ${hit ? nameOf(hit) : 'nothing'}`,
        );
      if (key.tagName === 'BUTTON' && key.scrollWidth > key.clientWidth + 1)
        found.push(`${nameOf(key)} cuts its words`);
    }
    scrollTo(0, 0);
    return found;
  }, LEAST_KEY);
