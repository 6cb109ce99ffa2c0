import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Unit } from '../../../shared/units.ts';
import { openPage } from '../../support/page/browser.ts';
import { tapThrough } from '../../support/page/keys.ts';
import { settled } from '../../support/page/seen.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, fixture, startServer, type Server } from '../../support/server.ts';

let server: Server;
let page: Page;
const post = (path: string, body: object = {}) => call(server.url, 'POST', path, body);

beforeAll(async () => {
  server = await startServer(['--play', fixture('runaway'), '--pace', '10000']);
  await post('/api/rehearsal', { do: 'pause' });
  const serveAt = new Date(Date.now() + 26 * 3600_000).toISOString();
  const made = await call(server.url, 'PUT', '/api/plan', { input: { serveAt, pizzas: 4, rawMeat: true } });
  expect(made.status).toBe(200);
  const stone = { name: '', material: 'steel', thicknessMm: 8, gapMm: 10 };
  expect((await call(server.url, 'PATCH', '/api/settings', { stone })).status).toBe(200);
  page = await openPage(browser, server.url);
});

/** What a text says in the other unit alone; one that gives both is for both. */
function foreignUnits(text: string, unit: Unit): string[] {
  const other = unit === 'F' ? 'C' : 'F';
  const both = /\d+ °C(?:, | \()\d+ °F/g;
  return [...text.replaceAll(both, '').matchAll(new RegExp(`.{0,60}°${other}`, 'g'))].map(([found]) => found);
}

/** All the words of the page, those in closed parts too; what a person chooses the unit by is left out. */
const wordsOf = (): Promise<string> =>
  page.evaluate(() => {
    for (const part of document.querySelectorAll('details')) part.open = true;
    const whole = document.body.cloneNode(true) as HTMLElement;
    for (const choice of whole.querySelectorAll('input[name=unit]')) choice.closest('label')?.remove();
    const labels = [...document.querySelectorAll('[aria-label]')].map((each) =>
      each.getAttribute('aria-label'),
    );
    return `${whole.textContent} ${labels.join(' ')}`;
  });

const PAGES = [
  '/',
  '/#/plan',
  '/#/past',
  '/#/past/1',
  '/#/ended/1',
  '/#/probes',
  '/#/mapping',
  '/#/overlay',
  '/#/overlay/1',
  '/#/stone',
  '/#/settings',
];
/** Keys of the action bar or behind its last, each with a sheet; the look's has both units, for a thermometer that is set to the other. */
const SHEETS = ['vents', 'note', 'recent'];
const TIMES = [600, 2400, 3600, 4500, 5400, 6600];

describe.each(['F', 'C'] as const)('for who chose °%s', (unit) => {
  beforeAll(async () => {
    const answer = await call(server.url, 'PATCH', '/api/settings', { unit });
    expect(answer.body['unit']).toBe(unit);
  });

  it('given a cook at each of its stages, the first screen says nothing in the other unit', async () => {
    for (const t of TIMES) {
      await post('/api/rehearsal', { do: 'seek', t });
      await page.goto(`${server.url}/`);
      await page.getByTestId('sentence').waitFor();
      expect(foreignUnits(await wordsOf(), unit)).toEqual([]);
      const now = await call(server.url, 'GET', '/api/now');
      expect(foreignUnits(JSON.stringify(now.body), unit)).toEqual([]);
    }
  });

  it.each(SHEETS)('given the sheet of the key "%s", it says nothing in the other unit', async (key) => {
    await post('/api/rehearsal', { do: 'seek', t: 600 });
    await page.goto('about:blank');
    await page.goto(`${server.url}/`);
    await page.locator('.action-bar').waitFor();
    await tapThrough(page, key);
    await page.locator('dialog[open].sheet').waitFor();
    expect(foreignUnits(await wordsOf(), unit)).toEqual([]);
  });

  it.each(PAGES)(
    'given the page %s with all its parts open, it says nothing in the other unit',
    async (path) => {
      await page.goto(`${server.url}${path}`);
      await page.locator('main').waitFor();
      await settled(page);
      const words = await wordsOf();
      expect(words.length).toBeGreaterThan(200);
      expect(foreignUnits(words, unit)).toEqual([]);
    },
  );
});
