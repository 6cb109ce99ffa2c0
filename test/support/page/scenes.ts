import type { Page } from 'playwright-core';
import { call, type Server } from '../server.ts';
import { tapKey } from './keys.ts';
import { advanceUntil, hasAlert } from './replay.ts';

/** A state of the server, the page that shows it, and what is waited for there. */
export type Scene = {
  name: string;
  hash: string;
  shows: string;
  set(server: Server): Promise<void>;
  /** What is opened over the page, which is then what has to fit. */
  opens?(page: Page): Promise<unknown>;
};

const post = (server: Server, path: string, body: object = {}) => call(server.url, 'POST', path, body);

/** A recording of the fixtures, standing still at `t` s. */
const at =
  (file: string, t: number) =>
  async (server: Server): Promise<void> => {
    await post(server, '/api/rehearsal', { do: 'start', file, pace: 1, instead: true });
    await post(server, '/api/rehearsal', { do: 'seek', t });
    await post(server, '/api/rehearsal', { do: 'pause' });
  };
/** The same, played on by hand until the stone calls for the first pizza. */
const calling = async (server: Server): Promise<void> => {
  await post(server, '/api/rehearsal', {
    do: 'start',
    file: 'good-evening',
    pace: 1,
    isDone: true,
    instead: true,
  });
  await post(server, '/api/rehearsal', { do: 'pause' });
  await advanceUntil(server, hasAlert('stone-ready'), 7200);
};
const asItIs = async (): Promise<void> => {};

/** 60 letters, and none between which a line may break. */
const LONG = 'Quattrostagionimelanzaneprosciuttofunghicarciofiolivebasilico';
/** Names that people type and that a page may stumble over. */
export const NAMES = [
  LONG,
  'מרגריטה עם זיתים',
  'مارغريتا',
  '🍕🌶️',
  '',
  'Four cheeses (no blue, no walnuts, honey on the side)',
];

const HOUR_MS = 3_600_000;
/** 25 pizzas for three eaters in eight hours, with the names that are hard. */
const bigPlan = async (server: Server): Promise<void> => {
  const { status, body } = await call(server.url, 'PUT', '/api/plan', {
    input: { serveAt: new Date(Date.now() + 8 * HOUR_MS).toISOString(), pizzas: 25 },
    formula: null,
    sauce: null,
    guests: [{ name: LONG }, { name: 'דנה' }, { name: 'Bo' }],
    run: Array.from({ length: 25 }, (_, i) => ({
      name: NAMES[i % NAMES.length] ?? '',
      eater: [LONG, 'דנה', 'Bo'][i % 3] ?? '',
      toppings: i % 2 ? 'ham, mushrooms, olives' : '',
    })),
  });
  if (status !== 200) throw new Error(JSON.stringify(body));
};

/** A real cook of that plan, on a stone that is ready. */
const named = async (server: Server): Promise<void> => {
  await post(server, '/api/cooks');
  for (let i = 0; i < 4; i++)
    await post(server, '/api/readings', {
      readings: [
        { channel: 'stone', celsius: 270 + i / 10 },
        { channel: 'dome', celsius: 262 },
      ],
    });
};

/** A key of the action bar or behind its last, and the sheet that it opens. */
const sheetOf =
  (key: string) =>
  async (page: Page): Promise<void> => {
    await tapKey(page, key);
    await page.locator('dialog[open]').first().waitFor();
  };
const tapped =
  (id: string) =>
  (page: Page): Promise<void> =>
    page.getByTestId(id).first().click();

/** The first pizza lies on the stone. */
const launched = async (server: Server): Promise<void> => {
  const { body } = await call(server.url, 'GET', '/api/now');
  const [first] = body['pizzas'] as { id: string }[];
  await post(server, `/api/pizzas/${first?.id}/launch`, { onStone: [] });
};

/** In this order on one server: each starts from what the one before left. */
export const SCENES: readonly Scene[] = [
  { name: 'start', hash: '/', shows: '.start', set: asItIs },
  { name: 'past', hash: '/past', shows: '[data-testid=past-row]', set: asItIs },
  { name: 'cook', hash: '/past/1', shows: '[data-testid=cook-curve] canvas', set: asItIs },
  { name: 'compare', hash: '/overlay/1', shows: 'canvas', set: asItIs },
  { name: 'season', hash: '/overlay', shows: '.page', set: asItIs },
  { name: 'ended', hash: '/ended/1', shows: '.page', set: asItIs },
  { name: 'plan-form', hash: '/plan', shows: '.plan form', set: asItIs },
  {
    name: 'idle',
    hash: '/',
    shows: '.action-bar',
    set: async (server) => void (await post(server, '/api/cooks')),
  },
  { name: 'heating', hash: '/', shows: '.action-bar', set: at('good-evening', 900) },
  { name: 'ready', hash: '/', shows: '.action-bar', set: at('good-evening', 2430) },
  { name: 'baking', hash: '/', shows: '.action-bar', set: at('good-evening', 4500) },
  { name: 'late', hash: '/', shows: '.action-bar', set: at('good-evening', 4790) },
  { name: 'overshoot', hash: '/', shows: '.action-bar', set: at('runaway', 3000) },
  { name: 'probes', hash: '/probes', shows: '.page', set: asItIs },
  { name: 'settings', hash: '/settings', shows: '.page', set: asItIs },
  { name: 'plan', hash: '/plan', shows: '[data-testid=plan-pizza]', set: bigPlan },
  { name: 'names', hash: '/', shows: '.action-bar', set: named },
  { name: 'run', hash: '/plan', shows: '[data-testid=plan-pizza]', set: asItIs },
  { name: 'stone', hash: '/stone', shows: '.page', set: asItIs },
  { name: 'look', hash: '/', shows: '.action-bar', set: asItIs, opens: sheetOf('spot') },
  { name: 'vents', hash: '/', shows: '.action-bar', set: asItIs, opens: sheetOf('vents') },
  { name: 'more', hash: '/', shows: '.action-bar', set: asItIs, opens: tapped('more') },
  { name: 'note', hash: '/', shows: '.action-bar', set: asItIs, opens: sheetOf('note') },
  { name: 'pizza', hash: '/', shows: '.action-bar', set: asItIs, opens: tapped('add-pizza') },
  { name: 'end', hash: '/', shows: '.action-bar', set: asItIs, opens: sheetOf('end') },
  { name: 'verdict', hash: '/', shows: '.action-bar', set: launched, opens: sheetOf('off') },
  { name: 'call', hash: '/', shows: '.notice-acts:not([inert])', set: calling, opens: async () => {} },
];
