import { afterAll, beforeAll, expect, it } from 'vitest';
import { LOCALE } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, until, type Server } from '../../support/server.ts';
import { steadyRecording } from '../../support/steady-recording.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer(['--play', steadyRecording(270, 255), '--pace', '1']);
  await call(server.url, 'POST', '/api/rehearsal', { do: 'seek', t: 400 });
  await call(server.url, 'POST', '/api/rehearsal', { do: 'pause' });
});
afterAll(() => server.stop());

it('given a live line that says nothing yet, says what to do by the first document, and then that the line is silent', async () => {
  const page = await browser.newPage({ locale: LOCALE });
  await page.routeWebSocket(/\/api\/live/, () => {});
  await page.goto(server.url);
  await page.getByTestId('sentence').getByText('Launch').waitFor();
  expect(await page.getByTestId('channel-stone').textContent()).toMatch(/2[67]\d°/);
  await until(
    () => page.getByTestId('sentence').textContent(),
    (words) => !/Launch/.test(words ?? ''),
  );
  await page.close();
});

it('given a first document that does not come, says what to do by the live line', async () => {
  const page = await browser.newPage({ locale: LOCALE });
  await page.route('**/api/now', (route) => route.abort());
  await page.goto(server.url);
  await page.getByTestId('sentence').getByText('Launch').waitFor();
  await page.close();
});
