import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { LOCALE, PHONE, TABLET } from '../../support/page/browser.ts';
import { uncover } from '../../support/page/keys.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, type Server } from '../../support/server.ts';
import { standAt } from '../../support/page/replay.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer();
  await standAt(server, 4500, 'good-evening');
});

const PAGES = ['/#/live', '/#/plan', '/#/probes', '/#/past', '/#/settings'];

async function open(path: string, preference: object, viewport = TABLET): Promise<Page> {
  const context = await browser.newContext({ locale: LOCALE, viewport, ...preference });
  const page = await context.newPage();
  await page.goto(server.url + path);
  await page
    .locator(path === '/#/live' ? '.action-bar' : '.page h1')
    .first()
    .waitFor();
  await uncover(page, server);
  return page;
}

/** Elements that would move by themselves or glide when they change. */
const moving = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll('*')].flatMap((element) =>
      [undefined, '::before', '::after', '::backdrop'].flatMap((pseudo) => {
        const { animationName, transitionDuration, transitionDelay, scrollBehavior } = getComputedStyle(
          element,
          pseudo,
        );
        const isStill =
          animationName === 'none' &&
          /^[0s, ]*$/.test(transitionDuration + transitionDelay) &&
          scrollBehavior === 'auto';
        return isStill ? [] : [`${element.tagName} ${element.className}${pseudo ?? ''}`];
      }),
    ),
  );

describe('given a person who asked for less motion', () => {
  it.each(PAGES)('nothing moves on %s', async (path) => {
    const page = await open(path, { reducedMotion: 'reduce' });
    expect(await moving(page)).toEqual([]);
  });

  it('the check finds what does move for others', async () => {
    const page = await open('/#/live', { reducedMotion: 'no-preference' });
    expect((await moving(page)).length).toBeGreaterThan(0);
  });
});

/** Text of nothing but its own ground, or an element that says something by a field of colour which has none. */
const unseen = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const found: string[] = [];
    const groundOf = (element: Element): string => {
      for (let at: Element | null = element; at; at = at.parentElement) {
        const { backgroundColor } = getComputedStyle(at);
        if (!/, 0\)$|transparent/.test(backgroundColor)) return backgroundColor;
      }
      return getComputedStyle(document.documentElement).backgroundColor;
    };
    for (const element of document.querySelectorAll<HTMLElement>('main *, header *')) {
      const hasWords = [...element.childNodes].some(
        (node) => node.nodeType === 3 && node.textContent?.trim(),
      );
      if (hasWords && getComputedStyle(element).color === groundOf(element))
        found.push(`words of ${element.tagName} ${element.className}`);
    }
    for (const swatch of document.querySelectorAll('.channel .swatch'))
      if (getComputedStyle(swatch).backgroundColor === groundOf(swatch.parentElement ?? swatch))
        found.push(`swatch of ${swatch.parentElement?.textContent}`);
    for (const icon of document.querySelectorAll('.icon'))
      if (getComputedStyle(icon).stroke === groundOf(icon)) found.push(`icon ${icon.outerHTML.slice(0, 60)}`);
    return found;
  });

/** Of several that look alike but for their state, whether the chosen one looks otherwise. */
const standsOut = (page: Page, chosen: string, others: string): Promise<boolean> =>
  page.evaluate(
    ([a = '', b = '']) => {
      const lookOf = (selector: string): string => {
        const element = document.querySelector(selector);
        if (!element) throw new Error(`no ${selector}`);
        const { backgroundColor, color, borderColor } = getComputedStyle(element);
        return [backgroundColor, color, borderColor].join();
      };
      return lookOf(a) !== lookOf(b);
    },
    [chosen, others],
  );

describe.each(['dark', 'light'] as const)('given the person’s own colours, %s', (colorScheme) => {
  const preference = { forcedColors: 'active', colorScheme };

  it.each(PAGES)('everything is seen on %s', async (path) => {
    for (const size of [TABLET, PHONE]) {
      const page = await open(path, preference, size);
      expect(await unseen(page)).toEqual([]);
      expect(await standsOut(page, '.top nav a[aria-current]', '.top nav a:not([aria-current])')).toBe(true);
    }
  });

  it('what is chosen on the line of time and what is to be done now stand out', async () => {
    const page = await open('/#/live', preference);
    expect(await standsOut(page, '.chip[aria-pressed=true]', '.chip[aria-pressed=false]')).toBe(true);
    await page
      .locator('.action-key')
      .first()
      .evaluate((key) => key.classList.remove('due'));
    expect(await standsOut(page, '.action-key', '.action-key:last-child')).toBe(false);
    await page
      .locator('.action-key')
      .first()
      .evaluate((key) => key.classList.add('due'));
    expect(await standsOut(page, '.action-key.due', '.action-key:last-child')).toBe(true);
  });
});

describe('given type set to twice its size', () => {
  /** Names and links of which a part is cut off or lies beyond the screen. */
  const cut = (page: Page): Promise<string[]> =>
    page.evaluate(() => {
      document.documentElement.style.fontSize = '200%';
      return [...document.querySelectorAll('.channel:is(.stone, .dome) h2 > span:last-child, .top nav a')]
        .filter(
          (each) =>
            each.scrollWidth > each.clientWidth + 1 || each.getBoundingClientRect().right > innerWidth,
        )
        .map((each) => each.textContent ?? '');
    });

  it.each([
    ['a tablet', TABLET],
    ['a phone', PHONE],
  ])('on %s names of stone and dome are whole, each page is in the menu, and signs grow', async (_, size) => {
    const page = await open('/#/live', {}, size);
    const sign = page.locator('.action-key .icon').first();
    const before = (await sign.boundingBox())?.width ?? 0;
    expect(await cut(page)).toEqual([]);
    expect((await sign.boundingBox())?.width).toBeGreaterThan(1.5 * before);
  });
});

it('given more pizzas than the screen is wide, the last that is in view does not end at a hard edge', async () => {
  const page = await open('/#/live', {});
  const list = page.locator('.pizza-run ol');
  expect(await list.evaluate((each) => each.scrollWidth > each.clientWidth)).toBe(true);
  expect(await list.evaluate((each) => getComputedStyle(each).maskImage)).toContain('linear-gradient');
});

it('given a phone, the tile of the pizza that is next is in view whole', async () => {
  const page = await open('/#/live', {}, PHONE);
  const tile = await page.getByTestId('pizza').first().boundingBox();
  const bar = await page.locator('.action-bar').boundingBox();
  expect((tile?.y ?? 0) + (tile?.height ?? 0)).toBeLessThanOrEqual(bar?.y ?? 0);
});

it.each(['/#/plan', '/#/past', '/#/settings', '/#/probes'])(
  'given a pizza on the stone, %s has its countdown and the way back in view, however far it is scrolled',
  async (path) => {
    const page = await open(path, {}, PHONE);
    await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
    const back = page.getByTestId('to-live');
    expect(await back.textContent()).toMatch(/(turn|off) \+?\d+:\d\d$/);
    const box = await back.boundingBox();
    expect((box?.y ?? 0) + (box?.height ?? Infinity)).toBeLessThanOrEqual(PHONE.height);
    await back.click();
    await page.locator('.action-bar').waitFor();
    expect(await back.isVisible()).toBe(false);
  },
);
