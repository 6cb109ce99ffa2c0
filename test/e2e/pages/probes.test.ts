import { readFileSync } from 'node:fs';
import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { startFakeBle, type FakeBle } from '../../fake-ble-controller/fake-controller.ts';
import { violations, tooSmall } from '../../support/page/axe.ts';
import { layCable, type Cable } from '../../source/serial/pty.ts';
import { openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { repeat, untilFileEnd } from '../../support/endings.ts';
import { browser } from '../../support/page/test-browser.ts';
import { scratch, startServer, until, type Server } from '../../support/server.ts';

const device = (page: Page, name: string): Locator => page.getByTestId('device').filter({ hasText: name });
const tile = (page: Page, channel: string): Locator => page.getByTestId(`channel-${channel}`);

/** Waits until the live page shows whole degrees that a probe truly has. */
const shows = (page: Page, channel: string, degrees: number): Promise<unknown> =>
  until(
    () => tile(page, channel).locator('.value').textContent(),
    (text) => text === `${degrees}°`,
  );

const isShown = (page: Page, channel: string): Promise<unknown> =>
  until(
    () => tile(page, channel).getAttribute('class'),
    (classes) => classes?.includes('old') === true,
  );

/** Both sizes and both themes of a page as it stands. */
async function looksRight(page: Page): Promise<void> {
  for (const size of [PHONE, TABLET])
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.setViewportSize(size);
      await page.emulateMedia({ colorScheme });
      expect(await violations(page), `${size.width} px, ${colorScheme}`).toEqual([]);
      expect(await tooSmall(page), `${size.width} px`).toEqual([]);
    }
}

/** The same folder and port again, as after a power cut; the pages stay open. */
async function startAgain(server: Server, args: readonly string[], env: Record<string, string> = {}) {
  const { port } = new URL(server.url);
  await server.stop();
  return untilFileEnd(() => startServer(['--port', port, ...args], server.data, env));
}

describe('thermometers over the air', () => {
  let fakeBle: FakeBle;
  let server: Server;
  beforeAll(async () => {
    fakeBle = await startFakeBle({
      peripherals: [
        { kind: 'health', name: 'Grill left', celsius: 201 },
        {
          kind: 'environmental',
          name: 'Two ends',
          temperatures: [
            { name: 'Tip', celsius: 231 },
            { name: 'Handle', celsius: 31 },
          ],
        },
        { kind: 'made-up', name: 'Own board', celsius: 251.7 },
      ],
    });
    server = await startServer([], scratch(), fakeBle.env);
  });

  it('two are found, given by a tap, live at once, told when lost, and found again by themselves', async () => {
    const pages = await Promise.all([
      openPage(browser, `${server.url}/#/probes`),
      openPage(browser, `${server.url}/#/live`, PHONE),
    ]);
    const [probes, live] = pages;
    const [left, ends] = [fakeBle.peripheral('Grill left'), fakeBle.peripheral('Two ends')];
    await device(probes, 'Grill left').getByTestId('give-stone').first().click();
    const tip = device(probes, 'Two ends').getByTestId('value').filter({ hasText: 'Tip' });
    await tip.getByTestId('give-dome').click();
    await shows(live, 'stone', 201);
    await shows(live, 'dome', 231);

    left.setTemperatures(204);
    await shows(live, 'stone', 204);
    ends.setTemperatures(234, 32);
    await shows(live, 'dome', 234);
    const card = probes.getByTestId('probe-stone');
    await expect.poll(() => card.getByTestId('trust').textContent()).toMatch(/good/);

    left.away(true);
    await isShown(live, 'stone');
    await expect.poll(() => card.getByTestId('trust').textContent()).toMatch(/lost|not in reach|not heard/);
    // Its last number is not shown as current.
    expect(await card.getAttribute('class')).toContain('old');
    left.away(false);
    left.setTemperatures(206);
    await shows(live, 'stone', 206);
    expect(await tile(live, 'dome').getAttribute('class')).not.toContain('old');

    left.drop();
    left.setTemperatures(207);
    await shows(live, 'stone', 207);

    server = await startAgain(server, [], fakeBle.env);
    left.setTemperatures(209);
    ends.setTemperatures(239, 33);
    await shows(live, 'stone', 209);
    await shows(live, 'dome', 239);
    await expect
      .poll(() => probes.getByTestId('probe-dome').textContent())
      .toMatch(/239\.0°.*Tip|Tip.*239\.0°/s);
    for (const page of pages) await page.context().close();
  });

  it('an encrypted advertisement opens with its key', async () => {
    const server = await startServer([], scratch(), fakeBle.env);
    const page = await openPage(browser, `${server.url}/#/probes`);
    // The vector of the BTHome encryption page (fixtures/frames/bthome.json): 25.06 °C.
    const advert = Buffer.from('1216d2fc41e445f3c9962b332211006c7c4519', 'hex');
    const speak = setInterval(() => fakeBle.broadcast('54:48:e6:8f:80:a5', advert), 300);
    const sealed = page.getByTestId('device').filter({ has: page.getByTestId('bthome-key') });
    await sealed.getByTestId('bthome-key').fill('231d');
    await sealed.getByText('Save the key').click();
    await sealed.getByText('this one has 4 characters').waitFor();
    await sealed.getByTestId('bthome-key').fill('231d39c1d7cc1ab1aee224cd096db932');
    await sealed.getByText('Save the key').click();
    await page.getByTestId('device').filter({ hasText: '25.1°' }).waitFor();
    clearInterval(speak);
  });

  it('one that speaks no standard is read by a mapping built by hand, which goes out and in as a file', async () => {
    const server = await startServer([], scratch(), fakeBle.env);
    const page = await openPage(browser, `${server.url}/#/mapping`);
    const field = (name: string): Locator => page.getByTestId(`mapping-${name}`);
    const board = fakeBle.peripheral('Own board');
    await field('device').selectOption({ label: 'Own board (−60 dBm)' });
    await page.getByTestId('connect').click();
    await page.getByTestId('place-a3c80002b5e64c1e9c4f3d2e5f6a7b80').click();
    // The device says nothing until 01 is written to its command characteristic
    // (test/fake-ble-controller/peripheral.mjs).
    await page.getByText('It must be asked').click();
    await field('start').fill('01');
    await field('start-at').selectOption('a3c80003b5e64c1e9c4f3d2e5f6a7b80');
    await field('ask').click();
    await page.getByTestId('byte-1').click();
    await expect.poll(() => page.getByTestId('bytes').locator('.chosen').count()).toBe(2);
    await field('order').selectOption('big');
    await field('scale').fill('0.1');
    await field('name').fill('Board of ours');
    const decoded = (): Promise<string | null> => page.getByTestId('decoded').locator('strong').textContent();
    await expect.poll(decoded).toBe('251.7°');
    board.setTemperatures(253.4);
    await expect.poll(decoded).toBe('253.4°');

    const [download] = await Promise.all([page.waitForEvent('download'), field('export').click()]);
    const file = await download.path();
    expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({
      mapping: 1,
      name: 'Board of ours',
      listen: { characteristic: 'a3c80002b5e64c1e9c4f3d2e5f6a7b80', start: '01' },
      values: [{ offset: 1, type: 's16', order: 'big', scale: 0.1, unit: 'C' }],
    });
    await field('scale').fill('7');
    await field('import').setInputFiles(file);
    await expect.poll(() => field('scale').inputValue()).toBe('0.1');

    await looksRight(page);

    await field('give-stone').click();
    await field('keep').click();
    await page.getByTestId('probe-stone').filter({ hasText: 'Board of ours' }).waitFor();
    await page.goto(`${server.url}/#/live`);
    board.setTemperatures(255);
    await shows(page, 'stone', 255);
  });
});

describe('a board on a serial port', () => {
  let cable: Cable;
  let server: Server;
  let degrees = 240;
  beforeAll(async () => {
    cable = await layCable();
    server = await startServer(['--serial', cable.port], scratch());
    repeat(300, () => cable.write(`plate=${degrees} lid=${degrees - 20}\n`).catch(() => {}));
  });

  it('is recognised, confirmed, given by taps, told when it is unplugged, and found again', async () => {
    const pages = await Promise.all([
      openPage(browser, `${server.url}/#/probes`),
      openPage(browser, `${server.url}/#/live`, PHONE),
    ]);
    const [probes, live] = pages;
    const port = device(probes, 'port').filter({ hasNotText: 'tty' });
    await port.getByTestId('listen').click();
    const card = port.getByTestId('confirm-lines');
    await card.filter({ hasText: 'names with values' }).waitFor();
    expect(await card.textContent()).toContain('plate=240 lid=220');
    await card.filter({ hasText: '240.0°' }).waitFor();
    // 240 °F is 115.6 °C.
    await card.getByTestId('plain-unit').selectOption('F');
    await card.filter({ hasText: '115.6°' }).waitFor();
    await card.getByTestId('plain-unit').selectOption('C');
    await card.getByTestId('confirm').click();
    await port.getByTestId('value').filter({ hasText: 'plate' }).getByTestId('give-stone').click();
    await port.getByTestId('value').filter({ hasText: 'lid' }).getByTestId('give-dome').click();
    await shows(live, 'stone', 240);
    await shows(live, 'dome', 220);
    degrees = 243;
    await shows(live, 'stone', 243);

    await cable.unplug();
    await isShown(live, 'stone');
    await cable.plug();
    degrees = 246;
    await shows(live, 'stone', 246);

    await looksRight(probes);
    server = await startAgain(server, ['--serial', cable.port]);
    degrees = 249;
    await shows(live, 'stone', 249);
    await shows(live, 'dome', 229);
    for (const page of pages) await page.context().close();
  });
});

describe('a board that sends volts and ohms', () => {
  let cable: Cable;
  let server: Server;
  beforeAll(async () => {
    cable = await layCable();
    server = await startServer(['--serial', cable.port], scratch());
    // NIST Monograph 175: type K, 9.5639 mV with the cold junction at 35 °C is 270.00 °C; IEC 60751: 212.05 Ω of a
    // Pt100 is 299.996 °C.
    repeat(300, () => cable.write('plate=9.5639mV junction=35.0 lid=212.05ohm\n').catch(() => {}));
  });

  it('becomes two probes by their sensors, which are corrected, named, swapped, forgotten and brought back', async () => {
    const page = await openPage(browser, `${server.url}/#/probes`);
    const port = device(page, 'port').filter({ hasNotText: 'tty' });
    await port.getByTestId('listen').click();
    await port.getByTestId('confirm').click();
    const value = (name: string): Locator => port.getByTestId('value').filter({ hasText: name });
    const reads = (place: Locator, text: string): Promise<unknown> =>
      until(
        () => place.textContent(),
        (words) => words?.includes(text) === true,
      );
    await value('plate').getByTestId('keep-sensor').click();
    await value('lid').getByTestId('keep-sensor').click();
    await value('plate').getByTestId('give-stone').click();
    await value('lid').getByTestId('give-dome').click();
    const [stone, dome] = [page.getByTestId('probe-stone'), page.getByTestId('probe-dome')];
    await reads(stone, '270.0°');
    await reads(dome, '300.0°');

    await stone.getByTestId('set-up').click();
    await stone.getByTestId('probe-name').fill('Couple in the plate');
    await stone.getByText('Rename').click();
    // IEC 60584-1: class 1 of type K is the larger of 1.5 °C and 0.4 % (1.08 °C at 270 °C).
    await stone.getByTestId('tolerance').selectOption('K class 1');
    await reads(stone, '±1.5 °C at 270 °C');
    await stone.getByTestId('calibrate-ice-and-boiling').click();
    await reads(stone.getByTestId('calibration-worth'), 'at 270 °C');
    await looksRight(page);
    await stone.getByTestId('calibrate-offset').click();
    await stone.getByTestId('calibrate-It-reads').fill('270');
    await stone.getByTestId('calibrate-truth').fill('272,5');
    await stone.getByTestId('apply-calibration').click();
    await reads(stone, '272.5°');
    await stone.getByTestId('calibrate-nothing').click();
    await reads(stone, '270.0°');

    await page.getByTestId('swap').click();
    await reads(stone, '300.0°');
    await reads(dome, 'Couple in the plate');
    await dome.getByTestId('forget').click();
    await dome.waitFor({ state: 'detached' });
    await page.locator('.toast').filter({ hasText: 'forgotten' }).getByTestId('undo').click();
    await reads(dome, 'Couple in the plate');
    await reads(dome, '270.0°');
  });
});
