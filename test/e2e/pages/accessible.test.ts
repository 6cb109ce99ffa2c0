import { beforeAll, expect, it } from 'vitest';
import { violations } from '../../support/page/axe.ts';
import { LOCALE, PHONE, TABLET } from '../../support/page/browser.ts';
import { settled } from '../../support/page/seen.ts';
import { browser } from '../../support/page/test-browser.ts';
import { fixture, startServer, type Server } from '../../support/server.ts';
import { standAt } from '../../support/page/replay.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer(['--play', fixture('good-evening'), '--pace', '10000']);
  await standAt(server, 5000);
});

const PAGES = ['/', '/#/plan', '/#/past', '/#/past/1', '/#/settings'];
const cases = PAGES.flatMap((path) =>
  (['dark', 'light'] as const).flatMap((scheme) =>
    [TABLET, PHONE].map((size) => ({ path, scheme, size, wide: size.width })),
  ),
);

it.each(cases)(
  'axe finds nothing on $path, $scheme, $wide px wide, and nothing runs off its side',
  async ({ path, scheme, size }) => {
    const context = await browser.newContext({ locale: LOCALE, viewport: size, colorScheme: scheme });
    const page = await context.newPage();
    await page.goto(server.url + path);
    await page.locator('main').waitFor();
    await settled(page);
    expect(await violations(page)).toEqual([]);
    const over = await page.evaluate(() => {
      const { scrollWidth, clientWidth } = document.documentElement;
      return scrollWidth - clientWidth;
    });
    expect(over).toBeLessThanOrEqual(0);
  },
);
