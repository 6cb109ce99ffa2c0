import type { Page } from 'playwright-core';

/**
 * Types when the first pizza is to be on the table: so many hours from now, so that what fits does not depend on the
 * hour of the day at which a test runs.
 * @returns the time of day as the page writes it
 */
export async function serveInHours(page: Page, hours: number): Promise<string> {
  const at = new Date(Date.now() + hours * 3600_000);
  const two = (n: number): string => String(n).padStart(2, '0');
  const time = `${at.getHours()}:${two(at.getMinutes())}`;
  await page
    .getByTestId('plan-day')
    .fill(`${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`);
  await page.getByTestId('plan-time').fill(time.padStart(5, '0'));
  return time;
}
