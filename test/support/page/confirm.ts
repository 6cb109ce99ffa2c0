import type { Page } from 'playwright-core';
import { nowOf } from './replay.ts';
import type { Server } from '../server.ts';

/** Keys of the page that lead to the lid. */
const LEADS_TO_LID = new Set(['launch', 'turn', 'off', 'fuel', 'lid']);

/**
 * Says yes to what the page asks before a lid goes up, where it asks: as long as the way to the lid is dangerous. To be
 * called after the key was tapped, with the replay standing still.
 */
export async function confirm(page: Page, server: Server, key: string): Promise<void> {
  if (!LEADS_TO_LID.has(key) || (await nowOf(server)).lidHazard === null) return;
  await page.getByTestId('ask-yes').click();
}
