import { expect, it } from 'vitest';
import { violations, tooSmall } from '../../support/page/axe.ts';
import { openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { mosquitto, writer } from '../../support/brokers.ts';
import { repeat } from '../../support/endings.ts';
import { call, startServer, until } from '../../support/server.ts';

type Channel = { id: string; celsius: number | null; stale: boolean; reason?: string };
const stoneOf = async (url: string): Promise<Channel | undefined> =>
  ((await call(url, 'GET', '/api/now')).body['channels'] as Channel[]).find(
    (channel) => channel.id === 'stone',
  );

it('given a topic of a broker as the stone, a kept message begins no cook, a new one is live, and its end is told', async () => {
  const broker = await mosquitto();
  const board = await writer(broker.url);
  await board.publish('grill', '{"stone":{"c":199}}', true);
  const server = await startServer();
  const access = { url: broker.url, username: 'peel', password: 'flour and water' };
  const set = await call(server.url, 'PATCH', '/api/broker', { access });
  expect(set.status).toBe(200);
  expect(JSON.stringify([set, await call(server.url, 'GET', '/api/broker')])).not.toContain('flour');
  const address = { source: 'mqtt', topic: 'grill', part: '/stone/c' };
  await call(server.url, 'POST', '/api/probes', { channel: 'stone', address });
  const reach = await until(
    async () => JSON.stringify((await call(server.url, 'POST', '/api/reach', {})).body['devices']),
    (text) => text.includes('kept by the broker'),
  );
  expect(reach).toContain('"celsius":199');
  expect((await call(server.url, 'GET', '/api/now')).body['cook']).toBeNull();

  await board.publish('grill', '{"stone":{"c":201.5}}', true);
  await until(
    () => stoneOf(server.url),
    (stone) => stone?.celsius === 201.5 && !stone.stale,
  );
  await board.close();
  await broker.stop();
  const lost = await until(
    () => stoneOf(server.url),
    (stone) => stone?.stale === true,
  );
  expect(lost).toMatchObject({ celsius: 201.5, reason: 'its thermometer is out of reach' });
});

it('on the page a broker is set, a topic is listened to, said to be rightly read, and given to the dome', async () => {
  const broker = await mosquitto();
  const board = await writer(broker.url);
  repeat(200, () => board.publish('garden/grill', '{"dome":464}').catch(() => {}));
  const server = await startServer();
  const page = await openPage(browser, `${server.url}/#/settings`);
  await page.getByTestId('broker-url').fill(broker.url);
  await page.getByTestId('broker-keep').click();
  await page.getByTestId('broker-state').getByText(broker.url).waitFor();

  await page.getByTestId('publish-prefix').fill('kitchen');
  await page.getByTestId('publish-keep').click();
  await page.getByTestId('publish-state').getByText('On, below kitchen.').waitFor();
  expect(await violations(page)).toEqual([]);

  await page.goto(`${server.url}/#/probes`);
  await page.getByTestId('topic').fill('garden/#');
  await page.getByTestId('listen-topic').click();
  const device = page.getByTestId('device').filter({ hasText: 'garden/grill' });
  await device.getByTestId('plain-unit').selectOption('F');
  await device.getByText('240.0°').waitFor();
  // A server that takes its time: the finger is at the next key before the first is answered.
  await page.route('**/api/probes', async (route) => {
    await new Promise((resolve) => setTimeout(resolve, 1500));
    await route.continue();
  });
  await device.getByTestId('confirm').click();
  await device.getByTestId('give-dome').click();
  await page.getByTestId('probe-dome').getByText('240.0°').waitFor();
  for (const size of [PHONE, TABLET]) {
    await page.setViewportSize(size);
    expect(await violations(page)).toEqual([]);
    expect(await tooSmall(page)).toEqual([]);
    if (process.env['SHOTS'])
      await page.screenshot({ path: `${process.env['SHOTS']}/mqtt-${size.width}.png`, fullPage: true });
  }
  if (process.env['SHOTS']) {
    await page.goto(`${server.url}/#/settings`);
    await page.getByTestId('broker-state').waitFor();
    await page.getByTestId('broker').scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${process.env['SHOTS']}/mqtt-settings.png`, fullPage: true });
  }
});
