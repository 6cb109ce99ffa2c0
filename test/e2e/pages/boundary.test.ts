import { describe, expect, it } from 'vitest';
import { LOCALE, TABLET } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer } from '../../support/server.ts';

describe('a part of the page that fails', () => {
  it('given a curve that cannot be drawn, says so there, and the rest of the page goes on', async () => {
    const server = await startServer();
    await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 200 }] });
    // Its script throws on purpose, by which a page of openPage() would fail.
    const page = await (await browser.newContext({ locale: LOCALE, viewport: TABLET })).newPage();
    await page.addInitScript(() => {
      HTMLCanvasElement.prototype.getContext = () => {
        throw new Error('this browser has no canvas');
      };
    });
    await page.goto(server.url);
    const failed = page.getByTestId('part-failed');
    await failed.first().waitFor();
    expect(await failed.first().textContent()).toMatch(/has failed/);
    await page.getByTestId('sentence').waitFor();
    await page.goto(`${server.url}/plan`);
    await page.getByRole('heading').first().waitFor();
    await expect.poll(() => page.url()).toBe(`${server.url}/#/plan`);
  });
});
