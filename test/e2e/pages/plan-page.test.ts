import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { violations } from '../../support/page/axe.ts';
import { openPage, PHONE } from '../../support/page/browser.ts';
import { serveInHours } from '../../support/page/serving.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer, until } from '../../support/server.ts';

const tap = (page: Page, id: string) => page.getByTestId(id).first().click();

async function setPizzas(page: Page, n: number): Promise<void> {
  await tap(page, 'plan-change');
  await page.getByTestId('plan-pizzas').fill(String(n));
  await tap(page, 'plan-save');
  await until(
    () => page.getByTestId('plan-head').textContent(),
    (head) => head?.startsWith(`${n} pizzas`) ?? false,
  );
}

/** Says what is on a pizza, counted from 0, and waits until it is on the shopping list. */
async function setToppings(page: Page, pizza: number, toppings: string): Promise<void> {
  const field = page.getByTestId('pizza-toppings').nth(pizza);
  await field.fill(toppings);
  await field.blur();
  const [first = ''] = toppings.split(',');
  await until(
    () => page.getByTestId('plan-shopping').first().textContent(),
    (list) => new RegExp(`${first} ?\\d+ g`).test(list ?? ''),
  );
}

/** How many sheets of A4 it prints on, with the margins of a printer: each is an object of that type (ISO 32000-1, 7.7.3.3). */
async function pagesOf(page: Page): Promise<number> {
  const margin = { top: '12mm', right: '12mm', bottom: '12mm', left: '12mm' };
  const pdf = (await page.pdf({ format: 'A4', margin })).toString('latin1');
  return pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}

const eatersOf = (page: Page): Promise<string[]> =>
  page
    .locator('[data-testid=plan-pizza] select')
    .evaluateAll((all) => all.map((element) => (element as HTMLSelectElement).value));

describe('the page of the plan', () => {
  it('says what fits instead of a dough that is too long, takes more pizzas, is dropped and taken back, prints', async () => {
    const server = await startServer();
    const page = await openPage(browser, `${server.url}/#/plan`);
    await page.getByTestId('plan-pizzas').fill('8');
    for (const [i, name] of ['Ada', 'Ben', 'Cleo', 'Dana'].entries()) {
      await page.getByTestId('eater-name').fill(name);
      await tap(page, `eater-add-${i % 3}`);
    }
    // typed only: comes all the same
    await page.getByTestId('eater-name').fill('Eli');
    // Time for a night in the fridge, not for three.
    const time = await serveInHours(page, 28);
    await page.getByTestId('plan-dough-three-nights-cold').check();
    await tap(page, 'plan-save');
    const noFit = page.getByTestId('plan-no-fit');
    await noFit.waitFor();
    expect(await noFit.textContent()).toMatch(/has to be begun/);
    expect(await page.getByTestId('plan-head').textContent()).toMatch(
      new RegExp(`^8 pizzas, the first at ${time}`),
    );
    expect(await page.locator('.moved').count()).toBe(0);
    expect(await violations(page)).toEqual([]);
    await tap(page, 'plan-instead');
    await noFit.waitFor({ state: 'hidden' });
    expect(await page.locator('.page-head .cook-facts').first().textContent()).toMatch(
      /Overnight.*version 1$/,
    );
    expect(await eatersOf(page)).toEqual(['Ada', 'Ben', 'Cleo', 'Dana', 'Eli', 'Ada', 'Ben', 'Cleo']);
    await setToppings(page, 1, 'ham, mushrooms');

    for (const n of [10, 11, 12, 25]) {
      await setPizzas(page, n);
      expect(await page.getByTestId('plan-pizza').count()).toBe(n);
    }
    expect(await pagesOf(page)).toBe(2);
    await setPizzas(page, 8);
    expect(await page.getByTestId('pizza-toppings').nth(1).inputValue()).toBe('ham, mushrooms');

    // Ben eats no meat, and Fay comes too: she has a pizza, and his is pointed out
    await tap(page, 'plan-change');
    await page.getByTestId('eater').nth(1).locator('summary').click();
    await page.getByTestId('eater').nth(1).getByLabel('Vegetarian').check();
    await page.getByTestId('eater-name').fill('Fay');
    await tap(page, 'plan-save');
    await page.getByTestId('pizza-clash').waitFor();
    expect(await page.getByTestId('pizza-clash').allTextContents()).toEqual(['Not vegetarian: ham (meat). ']);
    expect(await eatersOf(page)).toEqual(['Ada', 'Ben', 'Cleo', 'Dana', 'Eli', 'Ada', 'Ben', 'Fay']);

    await tap(page, 'plan-drop');
    await tap(page, 'plan-restore');
    await expect.poll(() => page.getByTestId('plan-head').textContent()).toMatch(/^8 pizzas/);

    expect(await pagesOf(page)).toBe(2);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('input:visible, select:visible, button:visible').count()).toBe(0);
    // each caution with where it comes from
    expect(await page.locator('.plan-sheets li').allTextContents()).toContainEqual(
      expect.stringMatching(/carbon monoxide.* US Consumer Product Safety Commission/),
    );
    await page.emulateMedia({ media: 'screen' });

    await page.setViewportSize(PHONE);
    expect(await violations(page)).toEqual([]);
  });

  it('shows the focus below the pinned step, says the range of a number, and weighs little yeast in one manner', async () => {
    const server = await startServer();
    const page = await openPage(browser, `${server.url}/#/plan`);
    const pizzas = page.getByTestId('plan-pizzas');
    const typed = async (text: string): Promise<string> => {
      await pizzas.fill(text);
      await pizzas.blur();
      return pizzas.inputValue();
    };
    expect(await typed('8')).toBe('8');
    for (const nonsense of ['', 'many']) expect(await typed(nonsense)).toBe('8');
    expect(await typed('99')).toBe('60');
    expect(await page.getByText('From 1 to 60.').count()).toBe(1);
    expect(await typed('3')).toBe('3');
    expect(await page.getByText('From 1 to 60.').count()).toBe(0);
    await serveInHours(page, 28);
    await tap(page, 'plan-save');

    const masses = await page.getByTestId('plan-masses').innerText();
    const weigh = (await page.getByTestId('step-weigh').first().innerText()).replaceAll('\n', ' ');
    const [, water, take] = /, (\d+) g water, .*, (\d+) g yeast water/.exec(weigh) ?? [];
    expect(masses).toMatch(new RegExp(`Water\\s+${water} g`));
    expect(masses).toMatch(new RegExp(`Yeast water\\s+${take} g`));
    expect(await page.getByText('Yeast water: 1 g instant yeast stirred into 100 g of water.').count()).toBe(
      1,
    );
    expect(await page.getByTestId('plan-shopping').first().innerText()).toMatch(/instant yeast\s+1 g/);

    for (const size of [{ width: 1280, height: 800 }, PHONE]) {
      await page.setViewportSize(size);
      for (const key of ['Shift+Tab', 'Tab'])
        for (let i = 0; i < 60; i++) {
          await page.keyboard.press(key);
          expect(await page.evaluate(focusUnderPinned), `${key} ${i} at ${size.width}`).toBeNull();
        }
    }
  });
});

/** In the page: what has the focus and lies under the pinned step; null where nothing does. */
function focusUnderPinned(): string | null {
  const [focus, pinned] = [document.activeElement, document.querySelector('.plan-next')];
  if (!focus || !pinned || focus === document.body || pinned.contains(focus)) return null;
  const under = focus.getBoundingClientRect().top < pinned.getBoundingClientRect().bottom - 1;
  const isPinned = pinned.getBoundingClientRect().top <= 0;
  return under && isPinned ? (focus.getAttribute('aria-label') ?? focus.textContent) : null;
}
