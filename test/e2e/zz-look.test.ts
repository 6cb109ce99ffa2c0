import { it } from 'vitest';
import { openBrowser, openPage, PHONE, TABLET } from '../support/browser.ts';
import { startServer, scratch, call } from '../support/server.ts';
import { startAir } from '../air/air.ts';
import { layCable } from '../source/serial/pty.ts';
it('look', { timeout: 200_000 }, async () => {
  const air = await startAir({
    peripherals: [
      { kind: 'health', name: 'Grill left', celsius: 262.3, battery: 87 },
      {
        kind: 'environmental',
        name: 'Two ends',
        temperatures: [
          { name: 'Tip', celsius: 248.1 },
          { name: 'Handle', celsius: 31.2 },
        ],
        battery: 9,
      },
      { kind: 'made-up', name: 'Own board', celsius: 251.7 },
      { kind: 'bthome', name: 'Beacon', temperatures: [{ celsius: 211.5 }, { celsius: 22 }] },
    ],
  });
  const cable = await layCable();
  const server = await startServer(['--serial', cable.port], scratch(), air.env);
  const talk = setInterval(
    () => void cable.write(`stone=${(270 + Math.random()).toFixed(1)} air=22.1\n`),
    500,
  );
  const browser = await openBrowser();
  const pages = await Promise.all(
    [TABLET, PHONE].map((size) => openPage(browser, server.url + '/#/probes', size)),
  );
  const [tablet, phone] = pages as [(typeof pages)[0], (typeof pages)[0]];
  const shot = async (name: string) => {
    for (const [i, p] of pages.entries())
      await p!.screenshot({ path: `/tmp/shots/${name}-${i ? 'phone' : 'tablet'}.png`, fullPage: true });
  };
  await tablet!.getByTestId('reach-value').nth(2).waitFor({ timeout: 20000 });
  await tablet!.waitForTimeout(1500);
  await tablet!.getByTestId('device').filter({ hasText: /^port/ }).getByTestId('listen').click();
  await tablet!.getByTestId('confirm-lines').waitFor({ timeout: 20000 });
  await tablet!.waitForTimeout(2500);
  await shot('a-found');
  await tablet!
    .getByTestId('device')
    .filter({ hasText: 'Grill left' })
    .getByTestId('give-stone')
    .first()
    .click();
  await tablet!
    .getByTestId('device')
    .filter({ hasText: 'Two ends' })
    .getByTestId('give-dome')
    .first()
    .click();
  await tablet!.getByTestId('confirm').click();
  await tablet!.waitForTimeout(3500);
  await tablet!.getByTestId('probe-dome').getByTestId('set-up').click();
  await tablet!.getByTestId('calibrate-ice-and-boiling').first().click();
  await tablet!.waitForTimeout(500);
  await shot('b-given');
  await tablet!.emulateMedia({ colorScheme: 'dark' });
  await phone!.emulateMedia({ colorScheme: 'dark' });
  await tablet!.evaluate(() => (document.documentElement.dataset['theme'] = 'dusk'));
  await phone!.evaluate(() => (document.documentElement.dataset['theme'] = 'dusk'));
  await tablet!.waitForTimeout(500);
  await shot('c-dusk');
  const reach = (await call(server.url, 'GET', '/api/reach')).body as any;
  const own = reach.devices.find((d: any) => d.name === 'Own board');
  for (const p of pages) await p!.goto(`${server.url}/#/mapping/${encodeURIComponent(own.id)}`);
  for (const p of pages) {
    await p!.getByTestId('mapping-device').waitFor();
  }
  await tablet!.getByTestId('connect').click();
  for (const p of pages)
    await p!.getByTestId('place-a3c80002b5e64c1e9c4f3d2e5f6a7b80').click({ timeout: 15000 });
  for (const p of pages) {
    await p!.locator('summary').filter({ hasText: 'asked' }).click();
    await p!.getByTestId('mapping-start').fill('01');
    await p!.getByTestId('mapping-start-at').selectOption('a3c80003b5e64c1e9c4f3d2e5f6a7b80');
    await p!.getByTestId('mapping-ask').click();
  }
  for (const p of pages) {
    await p!.getByTestId('byte-1').click({ timeout: 15000 });
    await p!.getByTestId('mapping-order').selectOption('big');
    await p!.getByTestId('mapping-scale').fill('0.1');
    await p!.getByTestId('mapping-name').fill('Own board');
  }
  await tablet!.waitForTimeout(2500);
  await shot('d-mapping');
  clearInterval(talk);
  await browser.close();
  await server.stop();
  await cable.close();
  await air.close();
});
