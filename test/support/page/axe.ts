import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
type Found = { violations: { id: string; nodes: { target: string[] }[] }[] };

/** What axe-core, an outside check, finds against WCAG 2.2 at level AA. */
export async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe);
  const found = await page.evaluate(async () => {
    const run = (globalThis as unknown as { axe: { run(options: object): Promise<Found> } }).axe;
    return run.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] });
  });
  return found.violations.map(
    ({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`,
  );
}

/** Smallest side of a target that a floury finger hits, CSS pixels (our choice; WCAG 2.2 asks for 24). */
const SMALLEST_TARGET = 48;

/** Visible things to tap that are smaller, and how far the page is wider than the screen. */
export const tooSmall = (page: Page): Promise<string[]> =>
  page.evaluate((smallest) => {
    const targets = [
      ...document.querySelectorAll<HTMLElement>('a, button, input, select, textarea, summary'),
    ];
    const small = targets.filter((element) => {
      const { width, height } = element.getBoundingClientRect();
      return width > 0 && height > 0 && Math.min(width, height) < smallest;
    });
    const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    return [
      ...small.map(
        (element) => `${element.tagName} "${(element.ariaLabel ?? element.textContent ?? '').slice(0, 40)}"`,
      ),
      ...(over > 0 ? [`the page is ${over} px wider than the screen`] : []),
    ];
  }, SMALLEST_TARGET);
