import { signal } from '@preact/signals';
import type { CookDetail, CookRow, DeletedCook, StoneEstimate } from '../../shared/api/api.ts';
import type { Pizza, PizzaPatch } from '../../shared/evening/pizza.ts';
import { call, upload } from '../api.ts';
import { formatCount } from '../lib/format.ts';
import { amend, attempt, offerUndo } from './act/acts.ts';
import { fetchEstimates, fetchReadings } from './derive/curve/live-curves.ts';
import { emptySeries, merge, type Point, type Series } from './derive/curve/series.ts';
import { within, type Range } from './derive/curve/zoom.ts';

/** Past cooks: the list, and the one that is open. */
export const cooks = signal<CookRow[] | null>(null);
export const opened = signal<CookDetail | null>(null);
/** The server has no cook of the number that was asked for, or did not answer. */
export const isMissing = signal(false);
export const openedCurves = signal<Series>(emptySeries());
/** Of the whole cook, for the strip under the curve. */
export const wholeCurves = signal<Series>(emptySeries());
/** The stone of the open cook as it was estimated, where it was only looked at. */
export const openedEstimates = signal<readonly StoneEstimate[]>([]);
export const range = signal<Range>({ from: 0, to: 1 });

/** Readings a channel asked for each view, which is half a view wider on either side than what is seen. */
const VIEW_POINTS = 1200;
/** Of a whole cook, which has nothing on either side: a bucket of its drawing takes three pixels and two points. */
export const WHOLE_POINTS = 800;
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
  const answer = await attempt('cooks', () =>
    call<{ cooks: CookRow[]; examplesDue: boolean }>('GET', '/api/cooks'),
  );
  if (!answer) return;
  cooks.value = answer.cooks;
  if (answer.examplesDue && !examplesArrive.peek()) await makeExamples();
}

/** While the example cooks are being made. */
export const examplesArrive = signal(false);

async function makeExamples(): Promise<void> {
  examplesArrive.value = true;
  // A device that may only look is refused, and sees an empty list; a slow server goes on with them by itself.
  await call('POST', '/api/examples').catch(() => null);
  await loadCooks();
  examplesArrive.value = false;
}

export async function removeExamples(): Promise<void> {
  const done = await attempt('remove examples', () => call('DELETE', '/api/examples'));
  if (done !== null) cooks.value = cooks.value?.filter(({ isExample }) => !isExample) ?? null;
}

/** Deleted, and still to be brought back. */
export const deletedCooks = signal<DeletedCook[]>([]);

export async function loadDeleted(): Promise<void> {
  const answer = await attempt('deleted', () => call<{ cooks: DeletedCook[] }>('GET', '/api/cooks/deleted'));
  if (answer) deletedCooks.value = answer.cooks;
}

export async function bringBack(id: number): Promise<void> {
  const done = await attempt(`bring back ${id}`, () => call('PATCH', `/api/cooks/${id}`, { deleted: false }));
  if (done !== null) await Promise.all([loadCooks(), loadDeleted()]);
}

export const wholeRange = ({ seconds }: { seconds: number }): Range => ({
  from: 0,
  to: Math.max(60, seconds),
});

/** Asks for the cook and its curve at once: neither waits for the other. */
export async function openCook(id: number): Promise<void> {
  opened.value = null;
  isMissing.value = false;
  openedCurves.value = emptySeries();
  wholeCurves.value = emptySeries();
  openedEstimates.value = [];
  const request = newRequest();
  const arrives = reloadCook(id);
  const curve = attempt(`readings of ${id}`, () =>
    fetchReadings(id, { points: WHOLE_POINTS }, request.signal),
  );
  await arrives;
  const cook = opened.peek();
  if (pending === request) isMissing.value = !cook;
  if (!cook || pending !== request) return;
  range.value = wholeRange(cook);
  const points = await curve;
  if (!points || opened.peek()?.id !== id) return;
  const whole = seriesOf(points, wholeRange(cook), WHOLE_POINTS);
  wholeCurves.value = whole;
  if (pending === request) openedCurves.value = whole;
  if (!isLookedAt(cook, points)) return;
  const estimates = await attempt(`estimates of ${id}`, () => fetchEstimates(id));
  if (estimates && opened.peek()?.id === id) openedEstimates.value = estimates;
}

/** A stone that gives fewer readings than one in so many seconds is looked at, not measured. */
const LOOKED_AT_SECONDS = 60;

function isLookedAt({ channels, seconds }: CookDetail, points: readonly Point[]): boolean {
  const stone = channels.find(({ role }) => role === 'stone')?.id;
  return points.filter(({ channel }) => channel === stone).length * LOOKED_AT_SECONDS < seconds;
}

function newRequest(): AbortController {
  clearTimeout(timer);
  pending?.abort();
  pending = new AbortController();
  return pending;
}

/** Thinned rows lie so far apart; a gap is a few of them. */
function seriesOf(points: readonly Point[], { from, to }: Range, asked: number): Series {
  const gapAfter = Math.max(60, (4 * (to - from)) / (asked / 2));
  return merge(emptySeries(gapAfter), points, Infinity);
}

async function reloadCook(id: number): Promise<void> {
  const cook = await attempt(`cook ${id}`, () => call<CookDetail>('GET', `/api/cooks/${id}`));
  if (cook) opened.value = cook;
}

let timer: ReturnType<typeof setTimeout> | undefined;
let pending: AbortController | null = null;

/** Looks at a part of the open cook, and fetches its readings once the movement ends. */
export function look(next: Range, wait = SETTLE_MS): void {
  const cook = opened.value;
  if (!cook) return;
  range.value = within(next, wholeRange(cook));
  clearTimeout(timer);
  timer = setTimeout(() => void fetchView(cook), wait);
}

async function fetchView(cook: CookDetail): Promise<void> {
  const request = newRequest();
  const { from, to } = range.value;
  const margin = (to - from) / 2;
  const wide = { from: from - margin, to: to + margin };
  const start = Date.parse(cook.startedAt);
  const points = await attempt(`readings ${from} ${to}`, () =>
    fetchReadings(
      cook.id,
      { from: start + wide.from * 1000, to: start + wide.to * 1000, points: VIEW_POINTS },
      request.signal,
    ),
  );
  if (points && pending === request) openedCurves.value = seriesOf(points, wide, VIEW_POINTS);
}

export async function deleteCook({ id, name }: Pick<CookRow, 'id' | 'name'>): Promise<void> {
  const done = await attempt(`delete ${id}`, () => call('PATCH', `/api/cooks/${id}`, { deleted: true }));
  if (done === null) return;
  cooks.value = cooks.value?.filter((cook) => cook.id !== id) ?? null;
  offerUndo(`“${name}” deleted`, async () => {
    await call('PATCH', `/api/cooks/${id}`, { deleted: false });
    await Promise.all([loadCooks(), loadDeleted()]);
  });
  await loadDeleted();
}

/** @returns whether it was stored */
export async function patchCook(id: number, patch: { name?: string; notes?: string }): Promise<boolean> {
  const done = await amend(`patch ${id} ${Object.keys(patch).join()}`, () =>
    call('PATCH', `/api/cooks/${id}`, patch),
  );
  const cook = opened.value;
  if (done !== null && cook?.id === id) opened.value = { ...cook, ...patch };
  return done !== null;
}

/** @returns whether it was stored */
export async function reviewPizza(cookId: number, pizzaId: string, patch: PizzaPatch): Promise<boolean> {
  const path = `/api/cooks/${cookId}/pizzas/${encodeURIComponent(pizzaId)}`;
  const pizza = await amend(`review ${pizzaId} ${Object.keys(patch).join()}`, () =>
    call<Pizza>('PATCH', path, patch),
  );
  const cook = opened.value;
  if (!pizza || cook?.id !== cookId) return pizza !== null;
  opened.value = {
    ...cook,
    run: cook.run.map((r) => (r.pizza.id === pizzaId ? { ...r, pizza: { ...r.pizza, ...patch } } : r)),
  };
  return true;
}

type Imported = { id: number; bad?: number; skipped?: { number: number; why: string }[] };

/**
 * @returns the new cook with the lines that could not be read, or null when the file was refused. @param sent
 * called with how much of it has gone, 0 to 1
 */
export const importCook = (file: Blob, sent: (share: number) => void): Promise<Imported | null> =>
  attempt('import', () => upload<Imported>('/api/import', file, sent));
