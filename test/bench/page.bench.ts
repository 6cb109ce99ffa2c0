import type { Browser, Page } from 'playwright-core';
import { LOCALE, openBrowser, openPage, TABLET } from '../support/browser.ts';
import { call, fixture, startServer, until } from '../support/server.ts';
import { median, type Bench, type Row } from './bench.ts';
import { CHANNELS, dayLong, HOURS } from './day-long.ts';
import { framesOf } from './trace.ts';

const ROUNDS = 5;
/** A tablet is taken to be so much slower than the machine that this runs on. */
const SLOWDOWN = 4;
/** How long the live page is watched, ms. */
const WATCHED = 10_000;

async function slowed(page: Page): Promise<void> {
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: SLOWDOWN });
}

/** From the tap on a cook until its curve is on the canvas from end to end, ms. */
const openMs = (page: Page): Promise<number> =>
  page.evaluate(
    () =>
      new Promise<number>((resolve) => {
        const began = performance.now();
        const stone = getComputedStyle(document.documentElement).getPropertyValue('--stone').trim();
        const probe = document.createElement('canvas').getContext('2d');
        if (probe) probe.fillStyle = stone;
        probe?.fillRect(0, 0, 1, 1);
        const wanted = probe?.getImageData(0, 0, 1, 1).data ?? [];
        /** Of 20 columns over the middle of the plot, how many show the stone's curve. */
        const columns = (canvas: HTMLCanvasElement): number => {
          const pen = canvas.getContext('2d');
          const { width, height } = canvas;
          return Array.from({ length: 20 }, (_, i) => {
            const x = Math.round(width * (0.1 + (0.8 * i) / 20));
            const data = pen?.getImageData(x, 0, 2, height).data ?? new Uint8ClampedArray();
            for (let p = 0; p < data.length; p += 4)
              if ([0, 1, 2].every((c) => Math.abs((data[p + c] ?? 0) - (wanted[c] ?? 0)) < 3)) return 1;
            return 0;
          }).reduce<number>((sum, one) => sum + one, 0);
        };
        const look = (): void => {
          const canvas = document.querySelector<HTMLCanvasElement>('[data-testid=cook-curve] canvas');
          if (canvas && canvas.width > 0 && columns(canvas) >= 19) resolve(performance.now() - began);
          else requestAnimationFrame(look);
        };
        document.querySelector<HTMLElement>('[data-testid=past-row] a')?.click();
        look();
      }),
  );

/** Each time a page that has not opened a cook before. */
async function opening(browser: Browser): Promise<Row[]> {
  const server = await startServer([], await dayLong());
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const page = await openPage(browser, `${server.url}/#/past`);
    await page.getByTestId('past-row').first().waitFor();
    times.push(await openMs(page));
    await page.context().close();
  }
  await server.stop();
  const what = `page, a cook of ${HOURS} h with ${CHANNELS} channels at 1 Hz, from tap to drawn`;
  return [
    { name: what, value: median(times), unit: 'ms', budget: { most: 400 } },
    { name: `${what}, the first of ${ROUNDS}`, value: times[0] ?? Number.NaN, unit: 'ms' },
  ];
}

/** From nothing, with an empty cache, until the sentence that says what to do and the stone's degrees are painted, ms. */
async function firstPaintMs(browser: Browser, url: string): Promise<number> {
  const context = await browser.newContext({ locale: LOCALE, viewport: TABLET, serviceWorkers: 'block' });
  const page = await context.newPage();
  await slowed(page);
  await page.addInitScript(() => {
    const look = (): void => {
      const said = document.querySelector('[data-testid=sentence]')?.textContent ?? '';
      const degrees = document.querySelector('[data-testid=channel-stone] .value')?.textContent ?? '';
      // The frame that this belongs to is painted when the next one begins.
      if (said.length > 5 && /\d{2,3}°/.test(degrees))
        requestAnimationFrame(() => ((globalThis as unknown as { seen: number }).seen = performance.now()));
      else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  });
  await page.goto(url);
  const seen = await until(
    () => page.evaluate(() => (globalThis as unknown as { seen?: number }).seen ?? null),
    (at) => at !== null,
  );
  await context.close();
  return seen ?? Number.NaN;
}

/** A cook of 50 minutes with one pizza baked, curve, forecast and marks on the screen, going on in real time. */
async function live(browser: Browser): Promise<Row[]> {
  const server = await startServer(['--play', fixture('good-evening'), '--pace', '1']);
  await call(server.url, 'POST', '/api/rehearsal', { do: 'seek', t: 3000 });
  const paints: number[] = [];
  for (let round = 0; round < ROUNDS; round++) paints.push(await firstPaintMs(browser, server.url));
  const page = await openPage(browser, server.url);
  await page.getByTestId('sentence').waitFor();
  await page.waitForTimeout(2000);
  await slowed(page);
  await page.waitForTimeout(1000);
  const frames = await framesOf(browser, page, WATCHED);
  await page.context().close();
  await server.stop();
  const slow = `at ${SLOWDOWN} × CPU slowdown`;
  return [
    { name: `page, first useful paint ${slow}`, value: median(paints), unit: 'ms', budget: { most: 1000 } },
    {
      name: `page, a live frame ${slow}, the page's own work, median`,
      value: median(frames.map(({ script }) => script)),
      unit: 'ms',
      budget: { most: 4 },
    },
    {
      name: `page, a live frame ${slow}, the page's own work, nine of ten`,
      value:
        frames.map(({ script }) => script).sort((a, b) => a - b)[Math.floor(0.9 * frames.length)] ??
        Number.NaN,
      unit: 'ms',
    },
    {
      name: `page, a live frame ${slow}, with Chromium's own work by software`,
      value: median(frames.map(({ all }) => all)),
      unit: 'ms',
    },
  ];
}

export const pageBench: Bench = {
  name: 'page',
  async run() {
    const browser = await openBrowser();
    try {
      return [...(await opening(browser)), ...(await live(browser))];
    } finally {
      await browser.close();
    }
  },
};
