import type { Page } from 'playwright-core';

/** The least side of a key, CSS pixels: WCAG 2.2, 2.5.5 target size (enhanced). It may reach beyond what is drawn. */
const MIN_KEY = 44;

/**
 * What does not fit on the page as it stands: wider than the screen, keys too small, outside or covered at their middle,
 * words that are cut. Links within a sentence may be as high as its line (WCAG 2.2, 2.5.5, inline).
 */
const misfits = (page: Page): Promise<string[]> =>
  page.evaluate((least) => {
    const root = document.documentElement;
    const over = root.scrollWidth - root.clientWidth;
    const beyond = [...document.querySelectorAll('body *:not(nav *)')].findLast(
      (element) => element.getBoundingClientRect().right > root.clientWidth + 0.2,
    );
    const found =
      over > 0 ? [`the page is ${over} px wider than the screen: ${beyond?.outerHTML.slice(0, 80)}`] : [];

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
    ].filter(
      (key) =>
        key.checkVisibility({ visibilityProperty: true }) &&
        key.getClientRects().length > 0 &&
        !key.closest('[inert]'),
    );
    for (const key of keys) {
      const area = areaOf(key);
      // What is shown only to who goes by keys is clipped until then.
      const isClipped = getComputedStyle(area).clipPath !== 'none';
      if (isClipped || area.getBoundingClientRect().width <= 1 || isInSentence(key)) continue;
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

    /** What clips all that lies beyond it and cannot be scrolled to. */
    const clips = (element: Element): boolean => /hidden|clip/.test(getComputedStyle(element).overflow);
    const scrolls = (element: Element): boolean => /auto|scroll/.test(getComputedStyle(element).overflow);
    /** A name that a person typed may be too long for its place: beside its pizza, and where it is longer than most. */
    const isTyped = (element: Element, words: string): boolean =>
      element.closest('bdi, small[dir=auto], .pizza-words') !== null ||
      element.querySelector('bdi') !== null ||
      (element.closest('[dir=auto]') !== null && words.length > 24);
    const texts = document.createTreeWalker(dialog ?? document.body, NodeFilter.SHOW_TEXT);
    for (let text = texts.nextNode(); text; text = texts.nextNode()) {
      const words = text.textContent?.trim();
      const parent = text.parentElement;
      if (!words || !parent?.checkVisibility({ visibilityProperty: true }) || isTyped(parent, words))
        continue;
      const range = document.createRange();
      range.selectNodeContents(text);
      const lines = [...range.getClientRects()];
      for (let around: Element | null = parent; around && around !== root; around = around.parentElement) {
        if (scrolls(around) || around.clientWidth <= 1 || getComputedStyle(around).clipPath !== 'none') break;
        if (!clips(around)) continue;
        const edge = around.getBoundingClientRect();
        const isCut = lines.some(
          ({ left, right, top, bottom }) =>
            left < edge.left - 2 ||
            right > edge.right + 2 ||
            top + (bottom - top) / 4 < edge.top ||
            bottom - (bottom - top) / 4 > edge.bottom,
        );
        if (isCut) found.push(`"${words.slice(0, 40)}" in ${parent.className} is cut by ${around.className}`);
      }
    }
    scrollTo(0, 0);
    return found;
  }, MIN_KEY);

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

/** Text as large as it is asked for at most: WCAG 2.2, 1.4.4. */
const TWICE = [
  { width: 390, height: 844 },
  { width: 1280, height: 800 },
];
const textSize = (page: Page, share: string): Promise<void> =>
  page.evaluate((size) => {
    document.documentElement.style.fontSize = size;
  }, share);

/** How much of the first screen's height the line of time has, above the action bar; null on other pages. */
const ribbonShare = (page: Page): Promise<number | null> =>
  page.evaluate(() => {
    const ribbon = document.querySelector('.ribbon');
    // The way to the lid goes first where both have no room, until it is known.
    const goesFirst = document.querySelector('[data-testid="caution-lid-hot-starved"].caution');
    if (!ribbon || (innerHeight < 600 && goesFirst)) return null;
    const { top, bottom } = ribbon.getBoundingClientRect();
    const bar = document.querySelector('.action-bar')?.getBoundingClientRect().top ?? innerHeight;
    return (Math.min(bottom, bar) - top) / innerHeight;
  });

/**
 * What does not fit on any of the screens, nor with text twice as large.
 * @param clear run for each size before it is looked at
 * @returns what is wrong by size; empty where all fits
 */
export async function misfitsOfEveryScreen(
  page: Page,
  clear: () => Promise<unknown>,
): Promise<Record<string, string[]>> {
  const found: Record<string, string[]> = {};
  for (const size of SIZES) {
    await page.setViewportSize(size);
    await clear();
    const wrong = await misfits(page);
    const isCovered = await page.locator('dialog[open]').first().isVisible();
    const share = isCovered ? null : await ribbonShare(page);
    const least = size.width < PHONE_BELOW ? RIBBON.phone : RIBBON.tablet;
    if (share !== null && share < least - 0.005)
      wrong.push(`the ribbon has ${share.toFixed(2)} of the first screen`);
    if (wrong.length > 0) found[`${size.width} × ${size.height}`] = wrong;
  }
  await textSize(page, '200%');
  for (const size of TWICE) {
    await page.setViewportSize(size);
    await clear();
    const wrong = await misfits(page);
    if (wrong.length > 0) found[`${size.width} × ${size.height}, text twice as large`] = wrong;
  }
  await textSize(page, '');
  return found;
}
