import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { violations } from '../../support/page/axe.ts';
import { LOCALE, openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, fixture, startServer, until, type Server } from '../../support/server.ts';

/** Past cooks, by touch: the recordings are those that come with peelside. */

let server: Server;
beforeAll(async () => {
  server = await startServer();
  for (const name of ['good-evening', 'runaway', 'steel-for-two'])
    await call(server.url, 'POST', '/api/import', readFileSync(fixture(name), 'utf8'));
});

const openByTouch = (hash: string, viewport = TABLET): Promise<Page> =>
  openPage(browser, `${server.url}/${hash}`, viewport, { hasTouch: true });

const text = async (page: Page, id: string): Promise<string> =>
  (await page.getByTestId(id).first().textContent()) ?? '';
const degrees = async (page: Page, id: string): Promise<number> =>
  Number(/(\d+)°/.exec(await text(page, id))?.[1] ?? Number.NaN);

type Cook = {
  notes: string;
  run: { pizza: { name: string; launchedAt: number }; review: { stoneAtLaunch: number } }[];
};
const cookOf = async (id: number): Promise<Cook> =>
  (await call(server.url, 'GET', `/api/cooks/${id}`)).body as unknown as Cook;

/** The pixel of a time on the curve of cook 1, from the left of its canvas. */
async function placeOf(page: Page, t: number): Promise<{ x: number; y: number }> {
  const curve = page.getByTestId('cook-curve');
  const plot = await curve.locator('.u-over').boundingBox();
  const seconds = Number(await curve.getAttribute('aria-valuemax'));
  if (!plot) throw new Error('the curve has no plot');
  return { x: plot.x + (t / seconds) * plot.width, y: plot.y };
}

/** Where the curve lies, as shares of the screen: how wide it is, and how far down it begins. */
async function curveOn(size: { width: number; height: number }): Promise<{ wide: number; begins: number }> {
  const page = await openByTouch('#/past/1', size);
  const canvas = page.getByTestId('cook-curve').locator('canvas');
  await canvas.waitFor();
  await page.evaluate(() => document.fonts.ready);
  const box = await canvas.boundingBox();
  await page.context().close();
  return { wide: (box?.width ?? 0) / size.width, begins: (box?.y ?? Infinity) / size.height };
}

describe('the curve of a past cook', () => {
  it('given a large screen, fills it; given a phone, begins on the upper half of its first screen', async () => {
    expect((await curveOn({ width: 1920, height: 1080 })).wide).toBeGreaterThan(0.75);
    expect((await curveOn(PHONE)).begins).toBeLessThan(0.45);
    expect((await curveOn({ width: 844, height: 390 })).begins).toBeLessThan(0.7);
  });

  it('given a tap on the third pizza below it, tells the stone at that launch to the degree', async () => {
    const third = (await cookOf(1)).run[2];
    for (const size of [TABLET, PHONE]) {
      const page = await openByTouch('#/past/1', size);
      await page.getByTestId('cook-curve').locator('canvas').waitFor();
      await page.getByTestId('cook-curve').scrollIntoViewIfNeeded();
      // The tap is done once the page has come to rest; until then what is under the finger may move.
      await expect
        .poll(async () => {
          const place = await placeOf(page, (third?.pizza.launchedAt ?? 0) + 60);
          const plot = await page.getByTestId('cook-curve').locator('.u-over').boundingBox();
          // The first lane lies under the axis.
          await page.touchscreen.tap(place.x, place.y + (plot?.height ?? 0) + 45);
          return text(page, 'read-moment');
        })
        .toMatch(/^3 Courgette and lemon: 0:00/);
      await until(
        () => degrees(page, 'read-stone'),
        (read) => Math.abs(read - (third?.review.stoneAtLaunch ?? 0)) <= 1.5,
      );
      expect(await text(page, 'read-moment')).toMatch(/^3 Courgette and lemon: 0:00 of /);
      expect(await text(page, 'why')).toContain('Launch');
    }
  });

  it('given two taps at one place, shows all again after a closer look', async () => {
    const page = await openByTouch('#/past/1');
    await page.getByTestId('cook-curve').locator('canvas').waitFor();
    await page.getByTestId('zoom-closer').tap();
    await page.getByTestId('zoom-closer').tap();
    const width = () =>
      page.locator('.whole-window').evaluate((element) => element.getBoundingClientRect().width);
    const near = await width();
    const { x, y } = await placeOf(page, 3000);
    // On a busy machine two taps may lie too far apart to be one thing: then they are done again.
    await expect
      .poll(async () => {
        await page.touchscreen.tap(x, y + 80);
        await page.touchscreen.tap(x, y + 80);
        return width();
      })
      .toBeGreaterThan(3 * near);
  });

  it('given keys alone, goes from launch to launch, reads off, and says it to a screen reader', async () => {
    const page = await openByTouch('#/past/1');
    const curve = page.getByTestId('cook-curve');
    await curve.locator('canvas').waitFor();
    await curve.focus();
    for (let launch = 0; launch < 3; launch++) await page.keyboard.press(']');
    await expect
      .poll(() => curve.getAttribute('aria-valuetext'))
      .toMatch(/Stone 27\d °C.*3 Courgette and lemon: 0:00/);
    const before = await text(page, 'read-time');
    await page.keyboard.press('Shift+ArrowRight');
    await expect.poll(() => text(page, 'read-time')).not.toBe(before);
    await page.getByTestId('times-elapsed').tap();
    expect(await text(page, 'read-time')).toMatch(/^1:2\d:\d\d$/);
    await page.getByTestId('times-clock').tap();
    expect(await violations(page)).toEqual([]);
  });

  it('given a mouse over it, follows the mouse', async () => {
    const page = await openByTouch('#/past/1');
    await page.getByTestId('cook-curve').locator('canvas').waitFor();
    // The page may still move under the mouse until it has come to rest.
    await expect
      .poll(async () => {
        const { x, y } = await placeOf(page, 1500);
        await page.mouse.move(x, y + 60);
        return text(page, 'read-moment');
      })
      .toContain('16 min to the first launch');
  });
});

it('given any launch of any cook, says one stone temperature on its card, at the cursor and in its why', async () => {
  for (const id of [1, 2, 3]) {
    const page = await openByTouch(`#/past/${id}`);
    await page.getByTestId('cook-curve').locator('canvas').waitFor();
    const cards = page.getByTestId('run-pizza');
    const count = await cards.count();
    expect(count).toBeGreaterThan(0);
    for (let launch = 0; launch < count; launch++) {
      await page.getByTestId('launch-after').tap();
      const card = /At launch(\d+)°/.exec((await cards.nth(launch).textContent()) ?? '')?.[1];
      await until(
        async () => [
          (await text(page, 'read-moment')).startsWith(`${launch + 1} `),
          /^\d+/.exec(await text(page, 'read-stone'))?.[0],
          /Stone baking.*?stone(\d+)/.exec(await text(page, 'why'))?.[1],
        ],
        (found) => JSON.stringify(found) === JSON.stringify([true, card, card]),
      );
    }
  }
});

it('given a rehearsal in which pizzas were baked, its end leads to how it went', async () => {
  const own = await startServer();
  await call(own.url, 'POST', '/api/rehearsal', { do: 'start' });
  await call(own.url, 'POST', '/api/rehearsal', { do: 'seek', t: 100_000 });
  const page = await openPage(browser, own.url);
  await page.getByTestId('end').click();
  await page.waitForURL(/#\/ended\/\d+$/);
  await page.getByTestId('ended-change').locator('li').first().waitFor();
});

it('given a cook that ran away, says three things to change, each with its number, and of a good one that there is no more', async () => {
  const page = await openByTouch('#/ended/2', PHONE);
  const changes = page.getByTestId('ended-change').locator('li');
  await changes.first().waitFor();
  expect(await changes.locator('.figure').allTextContents()).toEqual(['27 min', '51 min', '0 of 1']);
  expect(await changes.first().textContent()).toContain('the stone ran 118 °C over its band');
  expect(await page.getByTestId('nothing-else').count()).toBe(0);
  expect(await violations(page)).toEqual([]);
  const calm = await startServer();
  await call(calm.url, 'POST', '/api/import', readFileSync(fixture('cold-windy-night'), 'utf8'));
  await page.goto(`${calm.url}/#/ended/1`);
  await page.getByTestId('nothing-else').waitFor();
  expect(await changes.count()).toBe(2);
});

it('given a phone, the times below the curves that are compared do not run together', async () => {
  const context = await browser.newContext({ viewport: PHONE, locale: LOCALE, hasTouch: true });
  const page = await context.newPage();
  await page.addInitScript(() => {
    const drawn: { text: string; at: number; width: number }[] = [];
    Object.assign(globalThis, { drawn });
    const { clearRect, fillText } = CanvasRenderingContext2D.prototype;
    CanvasRenderingContext2D.prototype.clearRect = function (...area) {
      if (this.canvas.closest('.comparison-canvas')) drawn.length = 0;
      clearRect.apply(this, area);
    };
    CanvasRenderingContext2D.prototype.fillText = function (text, x, y) {
      if (this.canvas.closest('.comparison-canvas'))
        drawn.push({ text, at: x, width: this.measureText(text).width });
      fillText.call(this, text, x, y);
    };
  });
  await page.goto(`${server.url}/#/overlay/1`);
  await page.locator('.comparison-canvas canvas').waitFor();
  const gaps = (): Promise<number[]> =>
    page.evaluate(() => {
      const { drawn } = globalThis as unknown as { drawn: { text: string; at: number; width: number }[] };
      const times = drawn.filter(({ text }) => /^([+\u2212-]\d+|0)$/.test(text)).sort((a, b) => a.at - b.at);
      return times.slice(1).map(({ at, width }, i) => at - (times[i]?.at ?? 0) - width);
    });
  // At least half as wide as a figure.
  await until(gaps, (found) => found.length >= 2 && found.every((gap) => gap > 12));
});

describe('what is written about a cook', () => {
  it('given letters typed and a text pasted at once, has all of both', async () => {
    const page = await openByTouch('#/past/2');
    const notes = page.getByTestId('cook-notes');
    await notes.click();
    await page.keyboard.type('Wind');
    await page.keyboard.insertText(' from the west, oak instead of beech');
    await expect.poll(async () => (await cookOf(2)).notes).toBe('Wind from the west, oak instead of beech');
    expect(await notes.inputValue()).toBe('Wind from the west, oak instead of beech');
  });

  it('given a page that is left in the middle of a word, loses none of it', async () => {
    const page = await openByTouch('#/past/3');
    await page.getByTestId('cook-notes').click();
    await page.keyboard.type('Calm');
    await page.evaluate(() => void (location.hash = '#/past'));
    await expect.poll(async () => (await cookOf(3)).notes).toBe('Calm');
  });
});

it('what happened is folded by pizza, and looked through by kind', async () => {
  const page = await openByTouch('#/past/1', PHONE);
  const folds = page.getByTestId('fold');
  await folds.first().waitFor();
  expect(await folds.count()).toBe(6);
  expect(await page.locator('.fold .mark:visible').count()).toBe(0);
  const height = await page.locator('.happened').evaluate((list) => list.scrollHeight);
  expect(height).toBeLessThan(1200);
  await page.getByTestId('kind-fuel').tap();
  expect(await folds.count()).toBe(1);
  expect(await folds.first().textContent()).toContain('Fire lit');
});

describe('photos and deleting', () => {
  it('given a large picture, adds it small beside the verdict, and takes a deletion back', async () => {
    const page = await openByTouch('#/past/1', PHONE);
    await page.getByTestId('take-top').first().waitFor({ state: 'attached' });
    const large = await page.evaluate(() => {
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [2400, 1800];
      const pen = canvas.getContext('2d');
      if (!pen) return '';
      for (let i = 0; i < 6000; i++) {
        pen.fillStyle = `rgb(${(i * 97) % 256} ${(i * 57) % 256} ${(i * 31) % 256})`;
        pen.fillRect((i * 331) % 2400, (i * 173) % 1800, 60, 40);
      }
      return canvas.toDataURL('image/png').split(',')[1] ?? '';
    });
    await page
      .getByTestId('take-top')
      .first()
      .setInputFiles({ name: 'pizza.png', mimeType: 'image/png', buffer: Buffer.from(large, 'base64') });
    const photo = page.getByTestId('photo').first();
    await photo.scrollIntoViewIfNeeded();
    await until(
      () => photo.evaluate((image) => (image as HTMLImageElement).naturalWidth),
      (width) => width > 300 && width <= 1280,
    );
    const stored = await fetch(`${server.url}/api/cooks/1/photos/f1`);
    expect((await stored.arrayBuffer()).byteLength).toBeLessThanOrEqual(200 * 1024);
    await page.getByTestId('delete-photo').first().tap();
    await expect.poll(() => page.getByTestId('photo').count()).toBe(0);
    await page.getByRole('button', { name: /undo/i }).first().tap();
    await page.getByTestId('photo').first().waitFor();
    expect(await violations(page)).toEqual([]);
  });

  it('given a cook deleted by mistake, brings it back from the foot of the list, even later', async () => {
    await call(server.url, 'PATCH', '/api/cooks/3', { deleted: true });
    const page = await openByTouch('#/past');
    await page.getByTestId('deleted').locator('summary').tap();
    await expect.poll(() => page.getByTestId('past-row').count()).toBe(2);
    await page.getByTestId('bring-back').tap();
    await expect.poll(() => page.getByTestId('past-row').count()).toBe(3);
    await page.getByTestId('deleted').waitFor({ state: 'detached' });
  });
});

it('given a cook, compares it with two others: it is chosen, and a tap reads all three off', async () => {
  const page = await openByTouch('#/past/2');
  await page.getByRole('link', { name: 'Compare with others' }).tap();
  await expect.poll(() => page.getByTestId('compared').count()).toBe(1);
  expect(await page.getByTestId('compared').first().textContent()).toContain('A ');
  // The first that is chosen comes last.
  let isFirst = true;
  await page.route(/\/api\/cooks\/\d+$/, async (route) => {
    const wait = isFirst ? 1500 : 0;
    isFirst = false;
    await new Promise((resolve) => setTimeout(resolve, wait));
    await route.continue();
  });
  for (const name of ['A good evening', 'Steel'])
    await page
      .locator('label')
      .filter({ hasText: new RegExp(name, 'i') })
      .first()
      .tap();
  await expect.poll(() => page.getByTestId('compared').count()).toBe(3);
  const why = await until(
    () => text(page, 'why-better'),
    (words) => /A250–280°.*255–285°.*200–232°/.test(words),
  );
  expect(why).toMatch(/[ABC] went better than [ABC]: .*\d+° less over its band/);
  for (const by of ['lit', 'launch', 'band']) await page.getByTestId(`align-${by}`).check();
  await page.getByTestId('align-launch').check();
  expect(await page.getByTestId('aligned-launch').locator('option').count()).toBe(5);
  await page.getByTestId('aligned-launch').selectOption('2');
  // The runaway has one pizza alone.
  await expect.poll(() => page.getByTestId('compared').count()).toBe(2);
  await page.getByTestId('aligned-launch').selectOption('1');
  await page.getByTestId('align-band').check();
  const plot = await page.locator('.comparison-canvas .u-over').boundingBox();
  if (!plot) throw new Error('there is no plot');
  await page.touchscreen.tap(plot.x + plot.width / 2, plot.y + plot.height / 2);
  await until(
    () => page.getByTestId('compared').allTextContents(),
    (rows) => rows.filter((row) => /\d+°/.test(row)).length >= 2,
  );
  expect(await violations(page)).toEqual([]);
});

it('posted readings are shown as in use on the Probes page', async () => {
  const own = await startServer();
  await call(own.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 263.2 }] });
  const page = await openPage(browser, `${own.url}/#/probes`);
  const card = page.getByTestId('posted-stone');
  await card.waitFor();
  expect(await card.textContent()).toMatch(/263\.2.*Posted readings.*In use/);
  expect(await page.locator('.first-step').count()).toBe(0);
});
