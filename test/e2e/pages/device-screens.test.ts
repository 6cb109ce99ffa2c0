import type { Page } from 'playwright-core';
import { beforeAll, expect, it } from 'vitest';
import { startFakeBle, type FakeBle } from '../../fake-ble-controller/fake-controller.ts';
import { layCable } from '../../source/serial/pty.ts';
import { openPage } from '../../support/page/browser.ts';
import { misfitsOfEveryScreen } from '../../support/page/fit.ts';
import { repeat } from '../../support/endings.ts';
import { browser } from '../../support/page/test-browser.ts';
import { scratch, startServer, type Server } from '../../support/server.ts';

/** As long as an advertisement has room for, and nowhere to break a line. */
const LONG = 'Grillsteinthermometer';

let fakeBle: FakeBle;
let server: Server;
let page: Page;
beforeAll(async () => {
  fakeBle = await startFakeBle({
    peripherals: [
      { kind: 'health', name: LONG, celsius: 201 },
      { kind: 'environmental', name: 'Two ends', temperatures: [{ name: 'Tip', celsius: 231 }] },
      { kind: 'made-up', name: 'Own board', celsius: 251.7 },
    ],
  });
  const cable = await layCable();
  server = await startServer(['--serial', cable.port], scratch(), fakeBle.env);
  repeat(300, () => cable.write('plate=9.5639mV junction=35.0 lid=240\n').catch(() => {}));
  page = await openPage(browser, `${server.url}/#/probes`);
});

const fits = () => misfitsOfEveryScreen(page, async () => {});

it('given devices in reach, one that is to be confirmed and one in use, the probes fit every screen', async () => {
  const device = (name: string) => page.getByTestId('device').filter({ hasText: name });
  await device(LONG).getByTestId('give-stone').first().click();
  await page.getByTestId('probe-stone').filter({ hasText: '201' }).waitFor();
  await device('port').filter({ hasNotText: 'tty' }).getByTestId('listen').click();
  await page.getByTestId('confirm-lines').waitFor();
  // What is offered to be undone goes by itself.
  await page.getByTestId('undo').first().waitFor({ state: 'detached' });
  expect(await fits()).toEqual({});
});

it('given a probe that is set up and calibrated, its parts fit every screen', async () => {
  await page.getByTestId('probe-stone').getByTestId('set-up').click();
  await page.getByTestId('calibrate-ice-and-boiling').first().click();
  expect(await fits()).toEqual({});
});

it('given a mapping that is built over a device, it fits every screen', async () => {
  await page.goto(`${server.url}/#/mapping`);
  await page.getByTestId('mapping-device').selectOption({ label: 'Own board (−60 dBm)' });
  await page.getByTestId('connect').click();
  await page.getByTestId('place-a3c80002b5e64c1e9c4f3d2e5f6a7b80').click();
  await page.getByText('It must be asked').click();
  await page.getByTestId('mapping-start').fill('01');
  await page.getByTestId('mapping-start-at').selectOption('a3c80003b5e64c1e9c4f3d2e5f6a7b80');
  await page.getByTestId('mapping-ask').click();
  await page.getByTestId('byte-1').waitFor();
  expect(await fits()).toEqual({});
});
