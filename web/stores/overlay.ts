import { computed, signal } from '@preact/signals';
import type { CookDetail } from '../../shared/api/api.ts';
import type { TrendList } from '../../shared/evening/plan.ts';
import { call } from '../api.ts';
import { amend, attempt } from './act/acts.ts';
import { fetchReadings } from './derive/curve/live-curves.ts';
import type { Point } from './derive/curve/series.ts';
import { within, type Range } from './derive/curve/zoom.ts';

/** Cooks laid over each other. */

const ALIGNS = ['lit', 'band', 'launch'] as const;
export type Align = (typeof ALIGNS)[number];
type ComparedCook = { cook: CookDetail; stone: readonly (readonly [t: number, celsius: number])[] };

/** Ids of the cooks that are compared, in the order in which they were chosen; each is drawn once it has come. */
export const chosenCooks = signal<readonly number[]>([]);
const fetched = signal<ReadonlyMap<number, ComparedCook>>(new Map());
export const comparedCooks = computed<readonly ComparedCook[]>(() =>
  chosenCooks.value.flatMap((id) => fetched.value.get(id) ?? []),
);
export const align = signal<Align>('band');
/** Which launch they meet at, from 1. */
export const alignedLaunch = signal(1);
/** As many launches as the cook with the most has. */
export const mostLaunches = computed(() =>
  Math.max(1, ...comparedCooks.value.map(({ cook }) => launchesOf(cook).length)),
);
export const trends = signal<TrendList['trends']>([]);
/** The moment that is pointed at, s from where the cooks meet. */
export const comparedAt = signal<number | null>(null);

/** Points that are fetched a cook. */
const CURVE_POINTS = 1200;
/** More curves can't be distinguished. */
export const MAX_COMPARED = 6;

const leaveOut = (id: number): void => {
  chosenCooks.value = chosenCooks.value.filter((chosen) => chosen !== id);
};

export async function toggleCook(id: number): Promise<void> {
  if (chosenCooks.value.includes(id)) return leaveOut(id);
  if (chosenCooks.value.length >= MAX_COMPARED) return;
  chosenCooks.value = [...chosenCooks.value, id];
  const compared = fetched.value.get(id) ?? (await fetchCompared(id));
  if (compared) fetched.value = new Map(fetched.value).set(id, compared);
  else leaveOut(id);
}

function fetchCompared(id: number): Promise<ComparedCook | null> {
  return amend(`lay ${id}`, async () => {
    const cook = await call<CookDetail>('GET', `/api/cooks/${id}`);
    return { cook, stone: stoneOf(cook, await fetchReadings(id, { points: CURVE_POINTS })) };
  });
}

/** Begins with the cook that one came from, as the first. */
export async function layFrom(id: number | null): Promise<void> {
  comparedAt.value = null;
  seen.value = null;
  if (id === null || chosenCooks.value[0] === id) return;
  fetched.value = new Map();
  chosenCooks.value = [];
  await toggleCook(id);
}

function stoneOf(cook: CookDetail, points: readonly Point[]): ComparedCook['stone'] {
  const id = cook.channels.find(({ role }) => role === 'stone')?.id;
  return points.flatMap(({ channel, t, celsius, quality }) =>
    channel === id && celsius !== null && quality !== 'bad' ? [[t, celsius] as const] : [],
  );
}

const launchesOf = ({ run }: CookDetail): number[] =>
  run.flatMap(({ pizza }) => pizza.launchedAt ?? []).sort((a, b) => a - b);

/**
 * Where a cook's 0 lies, s since its start; null where the cook has no such moment.
 * @param launch which one, from 1, where they meet at a launch
 */
export function originOf({ cook, stone }: ComparedCook, by: Align, launch = 1): number | null {
  const event = (name: string): number | null =>
    cook.marks.find((m) => m.kind === 'event' && m.name === name && !m.undone)?.t ?? null;
  if (by === 'lit') return event('fire-lit') ?? stone[0]?.[0] ?? null;
  if (by === 'band') return stone.find(([, celsius]) => celsius >= cook.targets.stone[0])?.[0] ?? null;
  return launchesOf(cook)[launch - 1] ?? (launch === 1 ? event('launch') : null);
}

/** A cook in its place: times are s from where the cooks meet. */
export type Placed = { cook: CookDetail; stone: ComparedCook['stone'] };

export const placed = computed<readonly Placed[]>(() =>
  comparedCooks.value.flatMap((entry) => {
    const origin = originOf(entry, align.value, alignedLaunch.value);
    if (origin === null) return [];
    return [{ cook: entry.cook, stone: entry.stone.map(([t, celsius]) => [t - origin, celsius] as const) }];
  }),
);

/** All that there is of them. */
export const wholeCompared = computed<Range>(() => {
  const times = placed.value.flatMap(({ stone }) => [stone[0]?.[0] ?? 0, stone.at(-1)?.[0] ?? 0]);
  return { from: Math.min(0, ...times), to: Math.max(60, ...times) };
});
const seen = signal<Range | null>(null);
export const comparedRange = computed(() =>
  seen.value ? within(seen.value, wholeCompared.value) : wholeCompared.value,
);
export function lookCompared(next: Range): void {
  seen.value = next;
}

/** °C of a curve at a time, from the drawn points on either side; null beyond its ends. */
export function comparedValue(stone: Placed['stone'], t: number): number | null {
  const after = stone.findIndex(([at]) => at >= t);
  const [right, left] = [stone[after], stone[after - 1]];
  if (!right) return null;
  if (!left) return right[0] === t ? right[1] : null;
  return left[1] + ((t - left[0]) / (right[0] - left[0])) * (right[1] - left[1]);
}

export async function loadTrends(): Promise<void> {
  const answer = await attempt('trends', () => call<TrendList>('GET', '/api/trends'));
  if (answer) trends.value = answer.trends;
}
