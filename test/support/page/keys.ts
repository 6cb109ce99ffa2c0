import type { Locator, Page } from 'playwright-core';
import { noticed } from '../../../web/stores/derive/calling-alerts.ts';
import { until, type Server } from '../server.ts';
import { nowOf } from './replay.ts';

/** Longer than a key rests, ms. */
const TIMEOUT_MS = 5000;

/** Keys that do something else as soon as the page has heard what they did. */
const CHANGING = new Set(['launch', 'turn', 'off', 'lid']);

/**
 * Taps a key of the action bar, or behind its last, and waits until the page shows what came of it: what a test reads
 * at the server the page may not have heard yet, and the next tap would be one for the same thing again.
 * @param pizza its id, where the key has to be for this pizza before it is tapped
 * @returns "asked" where the page asks before it does it, which is then to be answered
 */
export async function tapKey(page: Page, id: string, pizza?: string): Promise<'asked' | 'done'> {
  return answered(page, await press(page, id, pizza));
}

/** Taps a key and says yes to what it asks; a notice that lies over it, or comes while the finger falls, is seen first. */
export async function tapThrough(page: Page, id: string): Promise<void> {
  const tapped = await press(page, id, undefined, () => clearTheWay(page));
  if ((await answered(page, tapped)) === 'done') return;
  await page.getByTestId('ask-yes').click();
  await page.getByTestId('ask').waitFor({ state: 'detached' });
  await answered(page, tapped);
}

/**
 * Taps a key that neither rests nor waits for an answer; one that does not lie there, or no longer when the finger falls,
 * is looked for anew.
 */
async function press(
  page: Page,
  id: string,
  pizza?: string,
  clear = () => skipVerdict(page),
): Promise<Tapped> {
  let did: string | null = null;
  let bar = '';
  await until(
    async () => {
      await clear();
      const key = await scrollTo(page, id);
      if (!(await key.isVisible()) || (await key.isDisabled({ timeout: TIMEOUT_MS }).catch(() => true)))
        return false;
      did = await key.getAttribute('data-does', { timeout: TIMEOUT_MS }).catch(() => null);
      if (pizza !== undefined && did !== `${id} ${pizza}`) return false;
      const same = did === null ? key : key.and(page.locator(`[data-does="${did}"]:not([aria-busy=true])`));
      bar = await barOf(page);
      const before = await clicksOn(page, id);
      return same.click({ timeout: TIMEOUT_MS }).then(
        () => true,
        // A page that is slow may have had the tap all the same.
        async () => (await clicksOn(page, id)) > before,
      );
    },
    (isTapped) => isTapped,
  );
  return { id, did, bar };
}

/** What a key did when it was tapped, and to which pizza, and what the keys of the action bar did then. */
type Tapped = { id: string; did: string | null; bar: string };
const barOf = (page: Page): Promise<string> =>
  page
    .locator('.action-bar [data-does]')
    .evaluateAll((keys) => keys.map((key) => key.getAttribute('data-does')).join());

/**
 * Waits until the page shows what came of a tap: its key does something else, it asks first, the tap waits for a server
 * that is away, or it says what went wrong.
 */
async function answered(page: Page, { id, did, bar }: Tapped): Promise<'asked' | 'done'> {
  if (!CHANGING.has(id) || did === null) return 'done';
  const [asks, same] = [page.getByTestId('ask'), page.locator(`[data-does="${did}"]`)];
  const instead = page.getByTestId('unsent').or(page.getByTestId('trouble'));
  return until(
    async () => {
      if (await asks.isVisible()) return 'asked';
      // The launch of a pizza that nobody announced may be followed by another such.
      const isHeard = (await same.count()) === 0 || (did === 'launch ' && (await barOf(page)) !== bar);
      return isHeard || (await instead.first().isVisible()) ? 'done' : null;
    },
    (answer) => answer !== null,
  ) as Promise<'asked' | 'done'>; // no other is waited for
}

/**
 * Aims at the place where a key lies now, and taps it later without looking again: whatever lies there by then is hit. The
 * page's own timers do it, so that a rest of the page which begins before a tap is not over before it on a busy machine.
 * @returns what taps, at each of these moments of `Date.now()`
 */
export async function aimAt(page: Page, id: string): Promise<(...moments: number[]) => Promise<void>> {
  const key = page.getByTestId(id).first();
  await key.click({ trial: true });
  const box = await key.boundingBox();
  if (!box) throw new Error(`no ${id}`);
  const place = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  return (...moments) =>
    page.evaluate(
      async ({ place: { x, y }, moments: at }) => {
        const tap = (): void => document.elementFromPoint(x, y)?.closest('button')?.click();
        await Promise.all(
          at.map((ms) => new Promise((resolve) => setTimeout(resolve, ms - Date.now())).then(tap)),
        );
      },
      { place, moments },
    );
}

/** All that this page sent has been answered. */
export const isAnswered = (page: Page): Promise<number> =>
  until(
    () => page.locator('[aria-busy=true]').count(),
    (busy) => busy === 0,
  );

/** How often something with this id was clicked since the first call for this page. */
const clicksOn = (page: Page, id: string): Promise<number> =>
  page.evaluate((wanted) => {
    const counted = globalThis as unknown as { clicked?: string[] };
    if (!counted.clicked) {
      const clicked: string[] = (counted.clicked = []);
      addEventListener(
        'click',
        ({ target }) =>
          target instanceof Element &&
          clicked.push(target.closest('[data-testid]')?.getAttribute('data-testid') ?? ''),
        true,
      );
    }
    return counted.clicked.filter((each) => each === wanted).length;
  }, id);

/** The key where a finger finds it now: in the open sheet, in the action bar, or behind the last key. */
async function scrollTo(page: Page, id: string): Promise<Locator> {
  const sheet = page.locator('dialog[open].sheet');
  const inSheet = sheet.getByTestId(id);
  if (await inSheet.isVisible()) return inSheet;
  if (await sheet.isVisible()) await page.keyboard.press('Escape');
  const inBar = page.locator('.action-bar').getByTestId(id);
  if (await inBar.isVisible()) return inBar;
  await page
    .getByTestId('more')
    .click({ timeout: TIMEOUT_MS })
    .catch(() => {});
  await inSheet.waitFor({ timeout: TIMEOUT_MS }).catch(() => {});
  return inSheet;
}

/** The question after Off may come up when the finger is already on its way. */
async function skipVerdict(page: Page): Promise<void> {
  const skip = page.getByTestId('verdict-skip');
  if (await skip.isVisible()) await skip.click({ timeout: TIMEOUT_MS }).catch(() => {});
}

/** Says "Seen" to what calls and leaves the verdict for later, since both lie over what is to be tapped. */
export async function clearTheWay(page: Page): Promise<void> {
  const seen = page.locator('dialog[data-testid=notice]').getByTestId('acknowledge');
  if (await seen.isVisible()) await seen.click({ timeout: TIMEOUT_MS }).catch(() => {});
  await skipVerdict(page);
}

/** What calls is seen, until the server calls nothing that this page shows, and nothing lies over it any more. */
export async function uncover(page: Page, server: Server): Promise<void> {
  await until(
    async () => {
      await clearTheWay(page);
      const { alerts, rehearsal } = await nowOf(server);
      // A recording calls on its own page only.
      const isCalled =
        noticed(alerts) !== null && (rehearsal === null || IS_LIVE.test(new URL(page.url()).hash));
      return isCalled || (await page.locator('dialog[open]').first().isVisible());
    },
    (isCovered) => !isCovered,
  );
}
const IS_LIVE = /^(#\/(live)?)?$/;

/** A hand that taps and counts. */
export class Hand {
  taps = 0;
  readonly page: Page;
  constructor(page: Page) {
    this.page = page;
  }

  async tap(what: string | Locator): Promise<void> {
    const key = typeof what === 'string' ? this.page.getByTestId(what).first() : what;
    await key.tap();
    this.taps++;
  }

  /** Taps a field and types. */
  async type(id: string, text: string): Promise<void> {
    await this.tap(id);
    await this.page.getByTestId(id).fill(text);
  }

  goTo(label: string): Promise<void> {
    return this.tap(this.page.getByRole('navigation').getByRole('link', { name: label }));
  }

  text(id: string): Promise<string> {
    return this.page.getByTestId(id).first().innerText();
  }
}
