import type { Browser, Page } from 'playwright-core';
import { LOCALE, openBrowser, openPage, TABLET } from '../../support/page/browser.ts';
import { call, scratch, startServer, until } from '../../support/server.ts';
import { bareLoop, STEPS } from '../bare/bare-loop.ts';
import { serveBarePage } from '../bare/bare-page.ts';
import { UNWATCHED, median, type Bench, type Row } from '../bench.ts';
import { CHANNELS, dayLong, HOURS } from '../day-long.ts';
import { longEvening } from '../long-evening.ts';
import { framesOf, type Frame } from '../trace.ts';

const ROUNDS = 5;
/** A tablet is taken to be so much slower than the machine that this runs on. */
const SLOWDOWN = 4;
/** How long the live page is watched, ms. */
const WATCHED = 20_000;
/** How far the live cook is when it is watched, s. */
const LIVE_FROM_SECONDS = 4 * 3600;

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
        /** More red than blue by so much: of all that is drawn only the stone is, from cold to over its band. */
        const WARM = 40;
        /** Of 20 columns over the middle of the plot, how many show the stone's curve. */
        const columns = (canvas: HTMLCanvasElement): number => {
          const pen = canvas.getContext('2d');
          const { width, height } = canvas;
          return Array.from({ length: 20 }, (_, i) => {
            const x = Math.round(width * (0.1 + (0.8 * i) / 20));
            const data = pen?.getImageData(x, 0, 2, height).data ?? new Uint8ClampedArray();
            for (let p = 0; p < data.length; p += 4) if ((data[p] ?? 0) - (data[p + 2] ?? 0) > WARM) return 1;
            return 0;
          }).reduce<number>((sum, duration) => sum + duration, 0);
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

/** How long a curve is moved, ms. */
const PANNED = 4000;

/** A sixth of an open cook on the screen, moved a little with each frame: what the page's own work takes of each, ms. */
async function panning(browser: Browser, url: string): Promise<{ frames: Frame[]; loop: number }> {
  const page = await openPage(browser, `${url}/#/past/1`);
  await page.getByTestId('cook-curve').locator('canvas').waitFor();
  await page.waitForTimeout(2000);
  await slowed(page);
  const loop = await page.evaluate(bareLoop, STEPS);
  await page.evaluate((until) => {
    const curve = document.querySelector<HTMLElement>('[data-testid=cook-curve] .u-over');
    const box = curve?.getBoundingClientRect();
    if (!curve || !box) throw new Error('there is no curve');
    const wheel = (deltaX: number, deltaY: number): void => {
      const at = { clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 };
      curve.dispatchEvent(
        new WheelEvent('wheel', { deltaX, deltaY, ...at, bubbles: true, cancelable: true }),
      );
    };
    wheel(0, -720);
    const began = performance.now();
    const step = (): void => {
      const since = performance.now() - began;
      if (since > until) return;
      wheel(since % 2000 < 1000 ? 4 : -4, 0);
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }, PANNED + 4000);
  await page.waitForTimeout(1000);
  const frames = await framesOf(browser, page, PANNED);
  await page.context().close();
  return { frames, loop };
}

const nineOfTen = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(0.9 * values.length)] ?? Number.NaN;

/** Each time a page that has not opened a cook before. */
async function opening(browser: Browser): Promise<Row[]> {
  const server = await startServer([], await dayLong(), UNWATCHED);
  const times: number[] = [];
  const loops: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const page = await openPage(browser, `${server.url}/#/past`);
    await page.getByTestId('past-row').first().waitFor();
    times.push(await openMs(page));
    loops.push(await page.evaluate(bareLoop, STEPS));
    await page.context().close();
  }
  const { frames, loop } = await panning(browser, server.url);
  await server.stop('SIGKILL');
  const moved = frames.map(({ script }) => script);
  const panned = `page, a frame of moving a curve of ${HOURS} h with ${CHANNELS} channels at ${SLOWDOWN} × CPU slowdown`;
  const what = `page, a cook of ${HOURS} h with ${CHANNELS} channels at 1 Hz, from tap to drawn`;
  return [
    {
      name: `${what}, against a bare loop of ${STEPS / 1e6} million steps in the same page`,
      value: median(times) / median(loops),
      unit: '×',
      budget: { most: 30 },
    },
    { name: what, value: median(times), unit: 'ms' },
    { name: `${what}, the first of ${ROUNDS}`, value: times[0] ?? Number.NaN, unit: 'ms' },
    {
      name: `${panned}, the page's own work, nine of ten, against a bare loop of ${STEPS / 1e6} million steps`,
      value: nineOfTen(moved) / loop,
      unit: '×',
      budget: { most: 0.5 },
    },
    { name: `${panned}, the page's own work, nine of ten`, value: nineOfTen(moved), unit: 'ms' },
    { name: `${panned}, how many were drawn in ${PANNED / 1000} s`, value: frames.length, unit: 'frames' },
  ];
}

/** From nothing, with an empty cache, until the sentence that says what to do and the stone's degrees are painted, ms. */
async function firstPaintMs(browser: Browser, url: string): Promise<number> {
  const context = await browser.newContext({ locale: LOCALE, viewport: TABLET, serviceWorkers: 'block' });
  const page = await context.newPage();
  await slowed(page);
  await page.addInitScript(() => {
    const look = (): void => {
      const text = document.querySelector('[data-testid=sentence]')?.textContent ?? '';
      const degrees = document.querySelector('[data-testid=channel-stone] .value')?.textContent ?? '';
      // The frame that this belongs to is painted when the next one begins.
      if (text.length > 5 && /\d{2,3}°/.test(degrees))
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

/**
 * The frames of a page that is up and at rest, each as it would be on a tablet: measured by the thread's own clock and
 * multiplied. Chromium's own slowdown holds the thread by the wall clock, which another program that wants the core doubles.
 */
async function watched(browser: Browser, url: string): Promise<Frame[]> {
  const page = await openPage(browser, url);
  await page.getByTestId('sentence').waitFor();
  await page.waitForTimeout(3000);
  const frames = await framesOf(browser, page, WATCHED);
  await page.context().close();
  return frames.map(({ script, all }) => ({ script: SLOWDOWN * script, all: SLOWDOWN * all }));
}

/** A cook of four hours with twenty pizzas baked, curve, forecast and marks on the screen, going on in real time. */
async function live(browser: Browser): Promise<Row[]> {
  const server = await startServer(['--play', longEvening(), '--pace', '1'], scratch(), UNWATCHED);
  await call(server.url, 'POST', '/api/rehearsal', { do: 'seek', t: LIVE_FROM_SECONDS });
  const bare = await serveBarePage(server.url);
  const paints: number[] = [];
  const barePaints: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    paints.push(await firstPaintMs(browser, server.url));
    barePaints.push(await firstPaintMs(browser, bare.url));
  }
  const frames = await watched(browser, server.url);
  const bareFrames = await watched(browser, bare.url);
  bare.close();
  await server.stop('SIGKILL');
  const slow = `at ${SLOWDOWN} × CPU slowdown`;
  return [
    {
      name: `page, first useful paint ${slow}, against a bare page of equal weight`,
      value: median(paints.map((ms, i) => ms / (barePaints[i] ?? Number.NaN))),
      unit: '×',
      budget: { most: 1.5 },
    },
    { name: `page, first useful paint ${slow}`, value: median(paints), unit: 'ms' },
    {
      name: `page, a live frame ${slow}, the page's own work, against a bare page on the same messages`,
      value: median(frames.map(({ script }) => script)) / median(bareFrames.map(({ script }) => script)),
      unit: '×',
      budget: { most: 4 },
    },
    {
      name: `page, a live frame ${slow}, the page's own work, median`,
      value: median(frames.map(({ script }) => script)),
      unit: 'ms',
    },
    {
      name: `page, a live frame ${slow}, the page's own work, nine of ten`,
      value: nineOfTen(frames.map(({ script }) => script)),
      unit: 'ms',
    },
    {
      name: `page, a live frame ${slow}, the page's own work, the longest`,
      value: Math.max(...frames.map(({ script }) => script)),
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
