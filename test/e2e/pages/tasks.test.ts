import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { ALERT_CALLS } from '../../../shared/alert/calls.ts';
import type { CookDetail } from '../../../shared/api/api.ts';
import { noticed } from '../../../web/stores/derive/calling-alerts.ts';
import { openPage, TABLET } from '../../support/page/browser.ts';
import { heldEvening } from '../../support/page/held-evening.ts';
import { clearTheWay, Hand } from '../../support/page/keys.ts';
import { advance, advanceUntil, hasAlert, nowOf, rehearse } from '../../support/page/replay.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, fixture, scratch, startServer, until, type Server } from '../../support/server.ts';
import { standAt } from '../../support/page/replay.ts';
import { layCable, type Cable } from '../../source/serial/pty.ts';

/**
 * What people do at the grill, done by touch alone: how many taps each task takes. A field that is typed into counts as
 * the tap that it takes to reach it. Seconds are printed and not held: they are the machine's.
 */

const TASKS = [
  { task: 'understand the first page', most: 1, does: understand },
  { task: 'plan eight pizzas for five eaters', most: 15, does: planEight },
  { task: 'change to ten pizzas at 20:15', most: 4, does: changeToTen },
  { task: 'connect two posted probes', most: 2, does: connectTwo },
  { task: 'connect two probes of a board on a serial port', most: 6, does: connectBoard },
  { task: 'launch, turn, off and both verdicts', most: 6, does: bakeFirst },
  { task: 'end the evening and read what to change', most: 1, does: endAndRead },
  { task: 'read off the stone at the third launch', most: 2, does: readThirdLaunch },
  { task: 'compare three cooks', most: 5, does: compareThree },
] as const;

type Kitchen = { real: Server; grill: Server; shelf: Server; garage: Server };

let kitchen: Kitchen;
/** What the board writes by, and how often it does, ms. */
let cable: Cable;
let talk: NodeJS.Timeout;
const TALKS_EVERY_MS = 300;
const hands = new Map<Server, Hand>();

async function handAt(server: Server): Promise<Hand> {
  const known = hands.get(server);
  if (known) return known;
  const hand = new Hand(await openPage(browser, server.url, TABLET, { hasTouch: true }));
  hands.set(server, hand);
  return hand;
}

beforeAll(async () => {
  cable = await layCable();
  talk = setInterval(() => void cable.write('plate=181 lid=203\n').catch(() => {}), TALKS_EVERY_MS);
  kitchen = {
    real: await startServer(),
    grill: await startServer(['--play', heldEvening(), '--pace', '1']),
    shelf: await startServer(),
    garage: await startServer(['--serial', cable.port], scratch()),
  };
  await rehearse(kitchen.grill, { do: 'pause' });
  for (const name of ['good-evening', 'runaway', 'steel-for-two'])
    await call(kitchen.shelf.url, 'POST', '/api/import', readFileSync(fixture(name), 'utf8'));
});
afterAll(async () => {
  clearInterval(talk);
  for (const server of Object.values(kitchen)) await server.stop();
  await cable.close();
});

async function understand({ real }: Kitchen): Promise<Hand> {
  const hand = await handAt(real);
  await expect.poll(() => hand.text('sentence')).toMatch(/pizza.*stone.*off in time/);
  expect(await hand.page.locator('.start').innerText()).toMatch(/Nothing in it is real/);
  await hand.tap('watch');
  await expect.poll(() => hand.text('rehearsal-banner')).toMatch(/rehearsal/i);
  await rehearse(real, { do: 'leave' });
  return hand;
}

/** Tomorrow's date in the time zone that server and page share. */
function tomorrow(): string {
  const day = new Date();
  day.setDate(day.getDate() + 1);
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}

/** A call of the rehearsal that was left may still lie over the page. */
const isClear = (hand: Hand): Promise<unknown> =>
  hand.page.locator('dialog[open]').first().waitFor({ state: 'hidden' });

async function planEight({ real }: Kitchen): Promise<Hand> {
  const hand = await handAt(real);
  await isClear(hand);
  await hand.goTo('Plan');
  await hand.type('plan-pizzas', '8');
  await hand.type('plan-time', '19:30');
  await hand.type('plan-day', tomorrow());
  for (const [i, name] of ['Ada', 'Ben', 'Cleo', 'Dana', 'Eli'].entries()) {
    await hand.type('eater-name', name);
    await hand.tap(`eater-add-${i % 3}`);
  }
  await hand.tap('plan-save');
  await expect.poll(() => hand.text('plan-head')).toMatch(/^8 pizzas, the first at 19:30/);
  expect(await hand.page.getByTestId('plan-pizza').count()).toBe(8);
  return hand;
}

async function changeToTen({ real }: Kitchen): Promise<Hand> {
  const hand = await handAt(real);
  await hand.tap('plan-change');
  await hand.type('plan-pizzas', '10');
  await hand.type('plan-time', '20:15');
  await hand.tap('plan-save');
  await expect.poll(() => hand.text('plan-head')).toMatch(/^10 pizzas, the first at 20:15/);
  expect(await hand.page.getByTestId('plan-pizza').count()).toBe(10);
  return hand;
}

async function connectTwo({ real }: Kitchen): Promise<Hand> {
  const hand = await handAt(real);
  const readings = [
    { channel: 'stone', celsius: 181 },
    { channel: 'dome', celsius: 203 },
  ];
  expect((await call(real.url, 'POST', '/api/readings', { readings })).status).toBeLessThan(300);
  await hand.goTo('Probes');
  for (const { channel, celsius } of readings)
    await expect.poll(() => hand.text(`posted-${channel}`)).toContain(String(celsius));
  await hand.goTo('Live');
  for (const { channel, celsius } of readings)
    await expect.poll(() => hand.text(`channel-${channel}`)).toContain(`${celsius}°`);
  return hand;
}

async function connectBoard({ garage }: Kitchen): Promise<Hand> {
  const hand = await handAt(garage);
  await hand.goTo('Probes');
  const port = hand.page.getByTestId('device').filter({ hasText: 'port', hasNotText: 'tty' });
  await hand.tap(port.getByTestId('listen'));
  const card = port.getByTestId('confirm-lines').filter({ hasText: '181.0°' });
  await card.waitFor();
  await hand.tap(card.getByTestId('confirm'));
  for (const [value, channel] of [
    ['plate', 'stone'],
    ['lid', 'dome'],
  ] as const)
    await hand.tap(port.getByTestId('value').filter({ hasText: value }).getByTestId(`give-${channel}`));
  await hand.goTo('Live');
  for (const [channel, celsius] of [
    ['stone', 181],
    ['dome', 203],
  ] as const)
    await until(
      () => hand.text(`channel-${channel}`),
      (text) => text.includes(`${celsius}°`),
    );
  return hand;
}

async function bakeFirst({ grill }: Kitchen): Promise<Hand> {
  const hand = await handAt(grill);
  const call = hand.page.locator('dialog[data-testid=notice]');
  const called = (order: string) =>
    call.filter({ has: hand.page.getByRole('heading', { name: order, exact: true }) });
  const answer = (order: string): Promise<void> => hand.tap(called(order).getByTestId('notice-did'));
  await advanceUntil(grill, hasAlert('stone-ready'), 3600);
  await answer('Launch now');
  await expect.poll(async () => (await nowOf(grill)).onStone).toHaveLength(1);
  await advanceUntil(grill, hasAlert('turn-due'), 900);
  await answer('Turn now');
  await expect.poll(async () => (await nowOf(grill)).pizzas[0]?.turnedAt).toEqual(expect.any(Number));
  await advanceUntil(grill, hasAlert('off-due'), 900);
  await answer('Off now');
  await expect.poll(async () => (await nowOf(grill)).pizzas[0]?.offAt).toEqual(expect.any(Number));
  // The stone is ready for the next at once, which calls first.
  const verdict = hand.page.getByTestId('verdict');
  const next = noticed((await advance(grill, 5)).alerts);
  if (next) await hand.tap(called(ALERT_CALLS[next.alert].heading).getByTestId('acknowledge'));
  await hand.tap(verdict.getByTestId('judge-base-right'));
  await hand.tap(verdict.getByTestId('judge-top-pale'));
  await until(
    () => nowOf(grill),
    ({ pizzas }) => pizzas[0]?.base === 'right' && pizzas[0].top === 'pale',
  );
  return hand;
}

async function endAndRead({ grill }: Kitchen): Promise<Hand> {
  const hand = await handAt(grill);
  // An evening with something to change, its calls answered: that is no part of ending it.
  await standAt(grill, 6000, 'runaway', { instead: true });
  await expect
    .poll(async () => {
      await clearTheWay(hand.page);
      return hand.text('sentence');
    })
    .toContain('All baked');
  await isClear(hand);
  await hand.tap(hand.page.locator('.action-bar').getByTestId('end'));
  await until(
    () => hand.page.getByTestId('ended-change').locator('li').allInnerTexts(),
    (changes) => changes.length === 3 && changes.every((change) => /\d/.test(change)),
  );
  return hand;
}

async function readThirdLaunch({ shelf }: Kitchen): Promise<Hand> {
  const hand = await handAt(shelf);
  await hand.goTo('Past');
  const row = hand.page.getByTestId('past-row').filter({ hasText: 'A good evening' }).first();
  await hand.tap(row.getByRole('link'));
  const third = hand.page.getByTestId('run-pizza').nth(2);
  await third.waitFor();
  const id = /past\/(\d+)/.exec(hand.page.url())?.[1];
  const { run } = (await call(shelf.url, 'GET', `/api/cooks/${id}`)).body as unknown as CookDetail;
  const stone = Math.round(run[2]?.review.stoneAtLaunch ?? Number.NaN);
  expect(stone).toBeGreaterThan(200);
  expect(await third.innerText()).toMatch(new RegExp(`At launch\\s+${stone}°`));
  return hand;
}

async function compareThree({ shelf }: Kitchen): Promise<Hand> {
  const hand = await handAt(shelf);
  await hand.goTo('Past');
  await hand.tap('to-overlay');
  const pick = hand.page.getByTestId('overlay-pick');
  const compared = hand.page.getByTestId('compared');
  await pick.nth(2).waitFor();
  for (const i of [0, 1, 2]) {
    await hand.tap(pick.nth(i));
    await until(
      () => compared.count(),
      (count) => count >= Math.max(2, i + 1) || i === 0,
    );
  }
  await expect.poll(() => compared.count()).toBe(3);
  await expect.poll(() => hand.text('why-better')).toMatch(/\d/);
  return hand;
}

it('given a tablet and no key but the screen, each task takes no more taps than it should', async () => {
  const table: { task: string; taps: number; most: number; seconds: string }[] = [];
  for (const { task, most, does } of TASKS) {
    const before = new Map([...hands].map(([server, { taps }]) => [server, taps]));
    const began = performance.now();
    const hand = await does(kitchen);
    const server = [...hands].find(([, known]) => known === hand)?.[0];
    const taps = hand.taps - ((server && before.get(server)) ?? 0);
    table.push({ task, taps, most, seconds: ((performance.now() - began) / 1000).toFixed(1) });
  }
  console.table(table);
  expect(table.filter(({ taps, most }) => taps > most)).toEqual([]);
});
