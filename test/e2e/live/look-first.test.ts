import { afterAll, beforeAll, expect, it } from 'vitest';
import type { LiveMessage, Now } from '../../../shared/api/live.ts';
import { openPage } from '../../support/page/browser.ts';
import { nowOf, rehearse } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until, type Server } from '../../support/server.ts';
import { steadyRecording } from '../../support/steady-recording.ts';

let server: Server;
beforeAll(async () => {
  server = await startServer(['--play', steadyRecording(270, 255), '--pace', '1']);
  await rehearse(server, { do: 'seek', t: 400 });
  await rehearse(server, { do: 'pause' });
});
afterAll(() => server.stop());

/** The same stone as nobody measures it: estimated, and looked at a while ago. */
const estimated = (now: Partial<Now>): void =>
  now.channels?.forEach((channel) => {
    if (channel.role === 'stone') Object.assign(channel, { isEstimate: true, age: 200 });
  });

it('given a stone that is likely ready, the call has the look that it asks for as its first key', async () => {
  const page = await openPage(browser, 'about:blank');
  await page.route('**/api/now', (route) => route.abort());
  await page.routeWebSocket(/\/api\/live/, (toPage) => {
    const toServer = toPage.connectToServer();
    toServer.onMessage((data) => {
      const message = JSON.parse(String(data)) as LiveMessage;
      if ('now' in message) estimated(message.now);
      toPage.send(JSON.stringify(message));
    });
  });
  await page.goto(server.url);
  const notice = page.locator('dialog[data-testid=notice]');
  await notice.getByRole('heading', { name: 'Look, then launch' }).waitFor();
  expect(await notice.getByRole('button').allInnerTexts()).toEqual(['Look', 'Launched', 'Seen']);
  await notice.getByTestId('notice-look').click();
  await page.getByTestId('spot-keep').waitFor();
  await notice.waitFor({ state: 'hidden' });
  await page.getByTestId('spot-keep').click();
  await page.getByTestId('spot-keep').waitFor({ state: 'hidden' });
  const { alerts } = await until(
    () => nowOf(server),
    ({ channels }) => channels.some(({ source }) => source === 'spot'),
  );
  expect(alerts.filter(({ state }) => state === 'unacknowledged')).toEqual([]);
  expect(page.errors).toEqual([]);
  await page.context().close();
});
