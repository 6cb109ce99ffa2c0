import type { Page } from 'playwright-core';
import { beforeEach, expect, it } from 'vitest';
import type { Now } from '../../../shared/api/live.ts';
import { openPage } from '../../support/page/browser.ts';
import { aimAt, isAnswered, tapKey } from '../../support/page/keys.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, until, type Server } from '../../support/server.ts';
import { steadyRecording } from '../../support/steady-recording.ts';
import { nowOf as nowOfServer, standAt } from '../../support/page/replay.ts';

let server: Server;
let page: Page;
const nowOf = (): Promise<Now> => nowOfServer(server);

beforeEach(async () => {
  server = await startServer();
  await call(server.url, 'POST', '/api/cooks', {});
  for (const name of ['Ada', 'Ben', 'Cleo']) await call(server.url, 'POST', '/api/pizzas', { name });
  page = await openPage(browser, server.url);
  await page.getByTestId('launch').waitFor();
});

it.each([60, 120, 180, 400, 900])('two taps %d ms apart launch one pizza, and turn none', async (apart) => {
  const tapAt = await aimAt(page, 'launch');
  const soon = Date.now() + 100;
  await tapAt(soon, soon + apart);
  await until(nowOf, ({ onStone }) => onStone.length > 0);
  await isAnswered(page);
  const { pizzas, onStone } = await nowOf();
  expect(onStone).toHaveLength(1);
  expect(pizzas.map((p) => [p.launchedAt !== null, p.turnedAt !== null])).toEqual([
    [true, false],
    [false, false],
    [false, false],
  ]);
});

it('a launch onto a stone that is taken asks first, and a page that has not heard is refused', async () => {
  await tapKey(page, 'launch');
  await tapKey(page, 'launch', 'p2');
  await page.getByTestId('ask').waitFor();
  expect(await page.getByTestId('ask').textContent()).toMatch(/Ada is on the stone/);
  await page.getByTestId('ask-no').click();
  await page.getByTestId('ask').waitFor({ state: 'detached' });
  expect((await nowOf()).onStone).toHaveLength(1);
  const late = await call(server.url, 'POST', '/api/pizzas/p2/launch', { onStone: [] });
  expect(late.status).toBe(409);
  expect(late.body['detail']).toMatch(/Ada is on the stone by now/);
  await tapKey(page, 'launch');
  await page.getByTestId('ask-yes').click();
  await expect.poll(async () => (await nowOf()).onStone).toHaveLength(2);
});

it('given a question about a pizza that is then launched elsewhere, it closes by itself', async () => {
  await tapKey(page, 'launch');
  await tapKey(page, 'launch', 'p2');
  await page.getByTestId('ask').waitFor();
  await call(server.url, 'POST', '/api/pizzas/p2/launch', { onStone: ['p1'] });
  await page.getByTestId('ask').waitFor({ state: 'detached' });
});

it('a pizza taken out of the run comes back to its place', async () => {
  await page.getByTestId('pizza').nth(1).click();
  await page.getByText('Take out of the run').click();
  await until(nowOf, ({ pizzas }) => pizzas.length === 2);
  await page.getByTestId('undo').first().click();
  const { pizzas } = await until(nowOf, (now) => now.pizzas.length === 3);
  expect(pizzas.map(({ id, name }) => [id, name])).toEqual([
    ['p1', 'Ada'],
    ['p2', 'Ben'],
    ['p3', 'Cleo'],
  ]);
});

const launched = (t: number, pizza: string) => ({
  t,
  event: 'launch',
  pizza,
  turnAfter: 200,
  offAfter: 400,
});

/** A rehearsal that stands still at `t` s, with Ada launched at 300 s, and others. */
async function bakingAt(t: number, ...others: ReturnType<typeof launched>[]): Promise<void> {
  const file = steadyRecording(270, 255, [launched(300, 'a'), ...others]);
  await server.stop();
  server = await startServer(['--play', file, '--pace', '1']);
  await standAt(server, t);
  page = await openPage(browser, server.url);
}
const notice = () => page.locator('dialog[data-testid=notice]');

it('an off that is due is not silenced: it gets a minute more, or comes off', async () => {
  await bakingAt(1200);
  await notice().getByText('Off now').waitFor();
  expect(await notice().getByTestId('shelve').count()).toBe(0);
  await notice().getByTestId('longer').click();
  const { onStone, t } = await until(nowOf, (now) => (now.onStone[0]?.offAt ?? 0) > (now.t ?? 0));
  expect((onStone[0]?.offAt ?? 0) - (t ?? 0)).toBeCloseTo(60, -1);
  const silenced = await call(server.url, 'POST', '/api/alerts/off-due/shelve', { minutes: 5 });
  expect(silenced.status).toBe(409);
});

it('given another pizza that is to be turned, how the one before came out is asked only after that', async () => {
  await bakingAt(850, launched(600, 'b'));
  const did = notice().getByTestId('notice-did');
  const verdict = page.getByTestId('verdict');
  await notice().getByText('Off now').waitFor();
  await did.click();
  await notice().getByText('Turn now').waitFor();
  // Off is answered and heard, and the keys of what is called now rest no more.
  await did.click({ trial: true });
  await isAnswered(page);
  expect((await nowOf()).pizzas.map(({ offAt }) => offAt === null)).toEqual([false, true]);
  expect(await verdict.isVisible()).toBe(false);
  await did.click();
  await verdict.waitFor();
  await verdict.getByTestId('judge-base-right').click();
  await until(nowOf, ({ pizzas }) => pizzas[0]?.base === 'right');
});

it('given "Not off yet" on a stone that stays ready, the next off asks again how it came out', async () => {
  await bakingAt(390);
  const verdict = page.getByTestId('verdict');
  const isOff = ({ pizzas }: Now): boolean => pizzas[0]?.offAt != null;
  for (const isTakenBack of [true, true, false]) {
    await tapKey(page, 'off');
    await until(nowOf, isOff);
    // The stone is ready for the next at once, which may call first.
    await until(async () => {
      const seen = notice().getByTestId('acknowledge');
      if (await seen.isVisible()) await seen.click({ timeout: 5000 }).catch(() => {});
      return verdict.isVisible();
    }, Boolean);
    if (!isTakenBack) break;
    await verdict.getByTestId('take-back').click();
    await until(nowOf, (now) => !isOff(now));
    await verdict.waitFor({ state: 'hidden' });
  }
  await verdict.getByTestId('judge-top-right').click();
  await until(nowOf, ({ pizzas }) => pizzas[0]?.top === 'right');
});

it('a launch that was tapped late is put to the time that it was at, and its bake runs from then', async () => {
  await tapKey(page, 'launch');
  await until(nowOf, ({ onStone }) => onStone.length > 0);
  const [before] = (await nowOf()).onStone;
  await page.getByTestId('pizza').filter({ hasText: 'Ada' }).click();
  const earlier = page.getByTestId('earlier');
  await earlier.getByText('½ min earlier').click();
  const earlierBy = async (): Promise<number> => {
    const { onStone } = await nowOf();
    return onStone.length === 1 ? Math.round((before?.launchedAt ?? 0) - (onStone[0]?.launchedAt ?? 0)) : 0;
  };
  await until(earlierBy, (by) => by >= 28 && by <= 32);
  await earlier.getByText(/Launched ([3-9]\d s|\d+ min)/).waitFor();
  const { onStone, events } = await nowOf();
  expect((before?.offAt ?? 0) - (onStone[0]?.offAt ?? 0)).toBeGreaterThanOrEqual(28);
  expect(events.filter(({ event }) => event === 'launch').map(({ undone }) => undone)).toEqual([true, false]);
});
