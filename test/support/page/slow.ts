import type { BrowserContext, Page } from 'playwright-core';

/**
 * How much later the page hears of everything than the test, ms: `npm run test:slow`. What a test waited for at the server
 * the page does not show yet, parts that are fetched when they are needed come late, and the page computes slowly: a test
 * or page that relies on the order of two channels, or on haste, fails here each time.
 */
const LATE_MS = Number(process.env['E2E_SLOW'] ?? 0);
/** Shares of that for answers of the API, and for scripts and styles. */
const [API, PARTS] = [0.4, 0.6];
/** How many times slower the page computes. */
const CPU = 4;

const late = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** Makes all pages of a browser context slow, where that is asked for; what a test routes by itself goes by that alone. */
export async function slowDown(context: BrowserContext): Promise<void> {
  if (!LATE_MS) return;
  await context.routeWebSocket(/\/api\/live/, (toPage) => {
    const toServer = toPage.connectToServer();
    // Timers of one length fire in the order in which they were set.
    toServer.onMessage((message) => void setTimeout(() => toPage.send(message), LATE_MS));
  });
  for (const [path, share] of [
    [/\/api\/(?!live)/, API],
    [/\/(?!main)[\w-]+\.(js|css)$/, PARTS],
  ] as const)
    await context.route(path, async (route) => {
      await late(share * LATE_MS);
      await route.continue().catch(() => {}); // the page may be gone by now
    });
  const newPage = context.newPage.bind(context);
  context.newPage = async (): Promise<Page> => {
    const page = await newPage();
    const devtools = await context.newCDPSession(page);
    await devtools.send('Emulation.setCPUThrottlingRate', { rate: CPU });
    return page;
  };
}
