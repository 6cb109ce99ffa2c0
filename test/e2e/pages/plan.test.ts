import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import type { Now } from '../../../shared/api/live.ts';
import { violations } from '../../support/page/axe.ts';
import { PHONE, openPage } from '../../support/page/browser.ts';
import { clearTheWay, tapThrough } from '../../support/page/keys.ts';
import { heldEvening } from '../../support/page/held-evening.ts';
import { advance, advanceUntil, nowOf, rehearse } from '../../support/page/replay.ts';
import { serveInHours } from '../../support/page/serving.ts';
import { settled } from '../../support/page/seen.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, startServer, until, type Server } from '../../support/server.ts';

const textOf = (page: Page, id: string) => page.getByTestId(id).first().textContent();

/** Taps once, past whatever calls meanwhile, and waits for the live document to show what came of it. */
async function tapUntil(page: Page, server: Server, id: string, came: (now: Now) => boolean): Promise<void> {
  await tapThrough(page, id);
  await until(() => nowOf(server), came);
}

/** A new user's plan for eight: as few taps as it takes; how many there were. */
async function planForEight(page: Page): Promise<number> {
  let taps = 0;
  const tap = async (id: string): Promise<void> => {
    taps++;
    await page.getByTestId(id).first().click();
  };
  await page.getByTestId('plan-pizzas').fill('8');
  for (const [i, name] of ['Ada', 'Ben', 'Cleo'].entries()) {
    await page.getByTestId('eater-name').fill(name);
    await tap(`eater-add-${i}`);
  }
  await page.getByTestId('plan-dough-same-day').check();
  // There is time for that dough, and an hour to spare.
  await serveInHours(page, 7.5);
  await tap('plan-save');
  await page.getByTestId('plan-head').waitFor();
  return taps;
}

/** One pizza from the launch to off, tapped on the page. */
async function bakeOne(page: Page, server: Server, pizza: number): Promise<void> {
  await tapUntil(page, server, 'launch', (now) => now.pizzas[pizza]?.launchedAt != null);
  await tapUntil(page, server, 'turn', (now) => now.pizzas[pizza]?.turnedAt != null);
  await advanceUntil(server, ({ t, onStone }) => (t ?? 0) >= (onStone[0]?.offAt ?? Infinity) - 20, 1200);
  await tapUntil(page, server, 'off', (now) => now.pizzas[pizza]?.offAt != null);
}

it('plans, is late, lights, bakes for three eaters, judges, sums up, compares and prints', async () => {
  const server = await startServer(['--play', heldEvening(), '--pace', '1']);
  await rehearse(server, { do: 'leave' });
  const page = await openPage(browser, `${server.url}/#/plan`);

  expect(await planForEight(page)).toBeLessThanOrEqual(4);
  // baker's percentages: the same-day dough has 61 % water of the flour
  const masses = (await textOf(page, 'plan-masses')) ?? '';
  const [flour = 0, water = 0] = [...masses.matchAll(/(\d+) g/g)].map((found) => Number(found[1]));
  expect(water / flour).toBeCloseTo(0.61, 2);
  expect(flour).toBeGreaterThan(1300);
  expect(await violations(page)).toEqual([]);

  // measured after kneading: 27 °C where 24 were meant
  await page.getByTestId('dough-celsius').fill('27');
  await page.getByTestId('dough-celsius').blur();
  await page.getByTestId('dough-measured').click();
  await page.getByTestId('dough-unmeasure').waitFor();
  expect(await textOf(page, 'dough-notes')).toMatch(
    /at 27 °C, 3 °C warmer than meant: ball it \d+ min sooner/,
  );
  await page.getByTestId('dough-unmeasure').click();
  await page.getByTestId('dough-measured').waitFor();

  const moved = page.getByTestId('plan-gives');
  for (let i = 0; i < 4 && !(await moved.isVisible()); i++) {
    await page.getByTestId('step-late').click();
    await settled(page);
  }
  expect(await moved.textContent()).toMatch(/dough|later/);

  await page.getByTestId('tick-light-fire').click();
  const lit = await until(
    () => nowOf(server),
    (now) => now.cook !== null && now.events.some(({ event }) => event === 'fire-lit'),
  );
  expect(lit.cook?.rehearsal).toBe(false);
  expect(new Set(lit.pizzas.map(({ eater }) => eater))).toEqual(new Set(['Ada', 'Ben', 'Cleo']));
  expect(lit.plan?.steps.find(({ id }) => id === 'light-fire')?.done).toBe(true);

  // The fire is lit: a real cook runs, as the page has heard, and is not ended unasked.
  await page.getByTestId('to-live').waitFor();
  await page.getByTestId('plan-rehearse').click();
  await page.getByTestId('ask-no').click();
  expect((await nowOf(server)).cook?.rehearsal).toBe(false);
  await page.getByTestId('plan-rehearse').click();
  await page.getByTestId('ask-yes').click();
  await page.getByTestId('rehearsal-banner').waitFor();
  await clearTheWay(page);
  // What is more urgent stands before it.
  const step = page.getByTestId('next-step').first();
  await step.or(page.getByTestId('more-messages')).first().waitFor();
  if (!(await step.isVisible())) await page.getByTestId('more-messages').click();
  await step.waitFor();
  await page.keyboard.press('Escape');

  await clearTheWay(page);
  const chips = page.getByTestId('pizza');
  await chips.nth(2).dragTo(chips.nth(0));
  await until(
    () => nowOf(server),
    ({ pizzas }) =>
      pizzas
        .map(({ eater }) => eater)
        .join()
        .startsWith('Cleo,Ada,Ben'),
  );
  await rehearse(server, { do: 'pause' });
  await advanceUntil(server, (now) => now.state === 'ready', 7200, 30);
  for (let pizza = 0; pizza < 5; pizza++) {
    await bakeOne(page, server, pizza);
    const id = (await nowOf(server)).pizzas[pizza]?.id ?? '';
    await call(server.url, 'PATCH', `/api/pizzas/${id}`, { base: 'scorched', top: 'scorched' });
  }
  await advance(server, 30);
  const baked = await until(
    () => nowOf(server),
    ({ pizzas }) =>
      pizzas.slice(0, 5).every(({ baked }) => baked !== undefined && 'had' in baked && baked.had > 100),
  );
  const { lessons } = (await call(server.url, 'GET', '/api/lessons')).body as {
    lessons: { base: { ln: number; words: string } }[];
  };
  expect(lessons[0]?.base.ln).toBeLessThan(0);
  expect(lessons[0]?.base.words).toMatch(/^\d verdicts? of .* and \d of others: \d+ % shorter\.$/);

  const first = baked.cook?.id ?? 0;
  await rehearse(server, { do: 'start', file: 'runaway', pace: 1 });
  await advanceUntil(server, (now) => now.rehearsal?.ended === true, 20_000, 300);
  await rehearse(server, { do: 'leave' });
  await page.goto(`${server.url}/#/past/${first}`);
  await page.getByTestId('summary').waitFor();
  expect(await textOf(page, 'summary')).toMatch(/ready \d+ min after/);
  expect(await violations(page)).toEqual([]);
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByTestId('picture').click()]);
  const png = readFileSync(await file.path());
  // the signature of a PNG file (W3C PNG, section 5.2)
  expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);

  await page.emulateMedia({ media: 'print' });
  expect(await page.locator('header.top').isVisible()).toBe(false);
  expect(await page.getByTestId('summary').isVisible()).toBe(true);
  expect((await page.pdf()).subarray(0, 5).toString()).toBe('%PDF-');
  await page.emulateMedia({ media: 'screen' });

  await page.goto(`${server.url}/#/overlay`);
  await page.getByTestId('overlay-pick').nth(1).waitFor();
  const fires = page.locator('label').filter({ hasText: /evening|runaway|fire/i });
  for (const box of (await fires.getByTestId('overlay-pick').all()).slice(0, 2)) {
    await clearTheWay(page);
    await box.click();
  }
  await expect.poll(() => page.getByTestId('compared').count()).toBe(2);
  await page.setViewportSize(PHONE);
  expect(await violations(page)).toEqual([]);
});
