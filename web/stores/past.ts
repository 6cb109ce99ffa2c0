import { signal } from '@preact/signals';
import type { CookDetail, CookRow } from '../../shared/api.ts';
import type { Pizza, PizzaPatch } from '../../shared/pizza.ts';
import { call, upload } from '../api.ts';
import { formatCount } from '../lib/format.ts';
import { amend, attempt, offerUndo } from './acts.ts';
import { fetchReadings } from './curves.ts';
import { emptySeries, merge, type Point, type Series } from './series.ts';
import { within, type Range } from './zoom.ts';

/** Past cooks: the list, and the one that is open. */
export const cooks = signal<CookRow[] | null>(null);
export const opened = signal<CookDetail | null>(null);
export const openedCurves = signal<Series>(emptySeries());
export const range = signal<Range>({ from: 0, to: 1 });

/** Readings a channel asked for each view, which is half a view wider on either side than what is seen. */
const POINTS = 1200;
/** Of a whole cook, which has nothing on either side: a bucket of its drawing takes three pixels and two points. */
const WHOLE_POINTS = 800;
/** Wait for a movement to end before asking anew, ms. */
const SETTLE_MS = 200;

/** How it went, in a few words: "5 pizzas · 4 right · 1 scorched · 1 overshoot". */
export function outcome({ pizzas, right, pale, scorched, overshoots }: CookRow): string {
  const parts = [formatCount(pizzas, 'pizza')];
  if (right) parts.push(`${right} right`);
  if (pale) parts.push(`${pale} pale`);
  if (scorched) parts.push(`${scorched} scorched`);
  if (overshoots) parts.push(formatCount(overshoots, 'overshoot'));
  return parts.join(' · ');
}

export async function loadCooks(): Promise<void> {
  const answer = await attempt('cooks', () => call<{ cooks: CookRow[] }>('GET', '/api/cooks'));
  if (answer) cooks.value = answer.cooks;
}

export const wholeRange = ({ seconds }: { seconds: number }): Range => ({
  from: 0,
  to: Math.max(60, seconds),
});

/** Asks for the cook and its curve at once: neither waits for the other. */
export async function openCook(id: number): Promise<void> {
  opened.value = null;
  openedCurves.value = emptySeries();
  const mine = askAnew();
  const arrives = reloadCook(id);
  const curve = attempt(`readings of ${id}`, () => fetchReadings(id, { points: WHOLE_POINTS }, mine.signal));
  await arrives;
  const cook = opened.peek();
  if (!cook || asked !== mine) return;
  range.value = wholeRange(cook);
  const points = await curve;
  if (points && asked === mine) show(points, wholeRange(cook), WHOLE_POINTS);
}

function askAnew(): AbortController {
  clearTimeout(settle);
  asked?.abort();
  asked = new AbortController();
  return asked;
}

/** Thinned rows lie so far apart; a gap is a few of them. */
function show(points: readonly Point[], { from, to }: Range, asked: number): void {
  const gapAfter = Math.max(60, (4 * (to - from)) / (asked / 2));
  openedCurves.value = merge(emptySeries(gapAfter), points, Infinity);
}

export async function reloadCook(id: number): Promise<void> {
  const cook = await attempt(`cook ${id}`, () => call<CookDetail>('GET', `/api/cooks/${id}`));
  if (cook) opened.value = cook;
}

let settle: ReturnType<typeof setTimeout> | undefined;
let asked: AbortController | null = null;

/** Looks at a part of the open cook, and fetches its readings once the movement ends. */
export function look(next: Range, wait = SETTLE_MS): void {
  const cook = opened.value;
  if (!cook) return;
  range.value = within(next, wholeRange(cook));
  clearTimeout(settle);
  settle = setTimeout(() => void fetchView(cook), wait);
}

async function fetchView(cook: CookDetail): Promise<void> {
  const mine = askAnew();
  const { from, to } = range.value;
  const margin = (to - from) / 2;
  const wide = { from: from - margin, to: to + margin };
  const start = Date.parse(cook.startedAt);
  const points = await attempt(`readings ${from} ${to}`, () =>
    fetchReadings(
      cook.id,
      { from: start + wide.from * 1000, to: start + wide.to * 1000, points: POINTS },
      mine.signal,
    ),
  );
  if (points && asked === mine) show(points, wide, POINTS);
}

export async function deleteCook({ id, name }: Pick<CookRow, 'id' | 'name'>): Promise<void> {
  const done = await attempt(`delete ${id}`, () => call('PATCH', `/api/cooks/${id}`, { deleted: true }));
  if (done === null) return;
  cooks.value = cooks.value?.filter((cook) => cook.id !== id) ?? null;
  offerUndo(`“${name}” deleted`, async () => {
    await call('PATCH', `/api/cooks/${id}`, { deleted: false });
    await loadCooks();
  });
}

export async function patchCook(id: number, patch: { name?: string; notes?: string }): Promise<void> {
  const done = await amend(`patch ${id} ${Object.keys(patch).join()}`, () =>
    call('PATCH', `/api/cooks/${id}`, patch),
  );
  const cook = opened.value;
  if (done !== null && cook?.id === id) opened.value = { ...cook, ...patch };
}

export async function reviewPizza(cookId: number, pizzaId: string, patch: PizzaPatch): Promise<void> {
  const path = `/api/cooks/${cookId}/pizzas/${encodeURIComponent(pizzaId)}`;
  const pizza = await amend(`review ${pizzaId} ${Object.keys(patch).join()}`, () =>
    call<Pizza>('PATCH', path, patch),
  );
  const cook = opened.value;
  if (!pizza || cook?.id !== cookId) return;
  opened.value = {
    ...cook,
    run: cook.run.map((r) => (r.pizza.id === pizzaId ? { ...r, pizza: { ...r.pizza, ...patch } } : r)),
  };
}

type Imported = { id: number; skipped?: { number: number; why: string }[] };

/** @returns the new cook with the lines that could not be read, or null when the file was refused. @param sent told how much of it has gone, 0 to 1 */
export const importCook = (file: Blob, sent: (share: number) => void): Promise<Imported | null> =>
  attempt('import', () => upload<Imported>('/api/import', file, sent));
