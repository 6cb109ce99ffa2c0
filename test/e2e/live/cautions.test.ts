import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { ALERT_CALLS } from '../../../shared/alert/calls.ts';
import type { Now } from '../../../shared/api/live.ts';
import { repeat } from '../../support/endings.ts';
import { openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { tapKey, tapThrough, uncover } from '../../support/page/keys.ts';
import { advanceUntil, hasAlert } from '../../support/page/replay.ts';
import { hiddenBy } from '../../support/page/seen.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, type Server } from '../../support/server.ts';
import { steadyRecording } from '../../support/steady-recording.ts';

const SCREENS = [
  ['tablet', TABLET],
  ['phone', PHONE],
] as const;

let server: Server;

const nowOf = async (): Promise<Now> => (await call(server.url, 'GET', '/api/now')).body as unknown as Now;
const post = (path: string, body: object = {}) => call(server.url, 'POST', path, body);
const post1 = (celsius: { stone: number; dome: number }) =>
  post('/api/readings', {
    readings: Object.entries(celsius).map(([channel, value]) => ({ channel, celsius: value })),
  });

/** A rehearsal that stands still at `t` s. */
async function playAt(file: string, t: number): Promise<void> {
  server = await startServer(['--play', file, '--pace', '1']);
  await post('/api/rehearsal', { do: 'seek', t });
  await post('/api/rehearsal', { do: 'pause' });
}

const notice = (page: Page) => page.locator('dialog[data-testid=notice]');

/** Waits until each is on the screen, in the viewport and not covered. */
async function areSeen(page: Page, ...cautions: string[]): Promise<void> {
  for (const id of cautions) await expect.poll(() => hiddenBy(page, id)).toBe(null);
}

describe.each(SCREENS)('on a %s', (_name, size) => {
  const open = () => openPage(browser, server.url, size);

  it('lighting, with no plan: outdoors, no fluids, place, and a new stone slowly', async () => {
    server = await startServer();
    const page = await open();
    await page.getByTestId('start-real').first().click();
    await areSeen(page, 'caution-smoke', 'caution-no-fluids', 'caution-place', 'caution-first-heat');
    expect(await page.getByTestId('caution-smoke').textContent()).toMatch(
      /carbon monoxide.*Source: US Consumer/,
    );
    await page.getByTestId('caution-place').click();
    await expect.poll(() => page.getByTestId('caution-place').textContent()).toMatch(/3 m .* 1 m/);
    await areSeen(page, 'caution-place', 'caution-smoke');
  });

  it('a cold stone in a hot grill: it can crack', async () => {
    server = await startServer();
    repeat(400, () => post1({ stone: 40, dome: 260 }).catch(() => {}));
    await areSeen(await open(), 'caution-stone-warms-with-fire');
  });

  it('the first launch: gloves and sleeves, on the full screen too', async () => {
    await playAt(steadyRecording(270, 255), 400);
    const page = await open();
    await areSeen(page, 'notice-caution');
    expect(await notice(page).textContent()).toMatch(/Launch now.*the stone is ready.*gloves/s);
    expect(await notice(page).textContent()).not.toContain('Launch, now');
    await uncover(page, server);
    await areSeen(page, 'caution-hot-surfaces');
  });

  it('a pizza on the stone and charcoal on the fire: fat, hot stone and deflector', async () => {
    await playAt(steadyRecording(270, 255), 400);
    const page = await open();
    await uncover(page, server);
    await post('/api/events', { event: 'launch' });
    await areSeen(page, 'caution-grease');
    await post('/api/events', { event: 'fuel' });
    await areSeen(page, 'caution-charcoal');
  });

  it('the end, ten minutes after the last pizza: coals outside, ash, no water on the stone', async () => {
    const baked = [
      { t: 300, event: 'launch', pizza: 'a' },
      { t: 700, event: 'off', pizza: 'a' },
    ];
    await playAt(steadyRecording(270, 255, baked), 1400);
    const page = await open();
    await uncover(page, server);
    await areSeen(page, 'caution-warm-coals', 'caution-ash', 'caution-wet-on-hot-stone');
  });

  it('making pizzas by the plan: raw meat, toppings, raw flour', async () => {
    server = await startServer();
    // The dough is made, toppings and stretching are near.
    const serveAt = new Date(Date.now() + 15 * 60_000).toISOString();
    const made = await call(server.url, 'PUT', '/api/plan', {
      input: { serveAt, pizzas: 4, rawMeat: true },
    });
    expect(made.status).toBe(200);
    await areSeen(await open(), 'caution-raw-meat', 'caution-toppings-warm', 'caution-raw-flour');
  });

  it('given vents all but shut before a launch, each instruction says how to open the lid', async () => {
    await playAt(steadyRecording(270, 255, [{ t: 300, event: 'vent', note: 'all but shut' }]), 400);
    const page = await open();
    await areSeen(page, 'notice-first');
    expect(await notice(page).textContent()).toMatch(/Launch now.*open the vents, wait 10 s/s);
    await uncover(page, server);
    await areSeen(page, 'lid-first', 'caution-lid-hot-starved');
    expect(await page.getByTestId('sentence').textContent()).toMatch(/Launch.*open the vents, wait 10 s/s);

    await tapKey(page, 'launch');
    await areSeen(page, 'ask');
    expect(await page.getByTestId('ask').textContent()).toMatch(/a hand's breadth.*nearly shut/s);
    await page.getByTestId('ask-no').click();
    expect((await nowOf()).onStone).toEqual([]);
    await tapThrough(page, 'launch');
    await expect.poll(async () => (await nowOf()).onStone).toHaveLength(1);

    for (const key of ['turn', 'off', 'fuel', 'lid']) {
      await tapKey(page, key);
      await areSeen(page, 'ask');
      await page.getByTestId('ask-no').click();
    }
    await areSeen(page, 'lid-first');
    await tapKey(page, 'spot');
    await areSeen(page, 'look-first');
    await page.keyboard.press('Escape');
    for (const due of ['turn-due', 'off-due'] as const) {
      await advanceUntil(server, hasAlert(due), 900);
      await notice(page).getByRole('heading', { name: ALERT_CALLS[due].heading }).waitFor();
      await areSeen(page, 'notice-first');
      expect(await page.getByTestId('notice-first').textContent()).toMatch(/open the vents, wait 10 s/);
      await uncover(page, server);
    }
  });

  it('what was acknowledged in the rehearsal is said in the real cook, and settings bring it back', async () => {
    await playAt(steadyRecording(25, 25), 30);
    const page = await open();
    await areSeen(page, 'caution-smoke');
    await page.getByTestId('caution-seen').click();
    await page.getByTestId('caution-smoke').waitFor({ state: 'detached' });
    await post('/api/cooks');
    await areSeen(page, 'caution-smoke');
    await page.getByTestId('caution-seen').click();
    await page.getByTestId('caution-smoke').waitFor({ state: 'detached' });
    await page.goto(`${server.url}/#/settings`);
    await page.getByTestId('restore-cautions').click();
    await page.goto(`${server.url}/#/`);
    await areSeen(page, 'caution-smoke');
  });
});

it.each([
  { width: 320, height: 568 },
  { width: 844, height: 390 },
])('given a wait over a fire without air, the way to the lid is seen on $width × $height', async (size) => {
  await playAt('fixtures/good-evening.jsonl', 1900);
  await post('/api/events', { event: 'vent', note: 'shut' });
  const page = await openPage(browser, server.url, size);
  await areSeen(page, 'caution-lid-hot-starved');
  expect(await page.getByTestId('caution-lid-hot-starved').textContent()).toContain('Source');
});
