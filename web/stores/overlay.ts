import { signal } from '@preact/signals';
import type { CookDetail } from '../../shared/api.ts';
import type { TrendList } from '../../shared/plan.ts';
import { call } from '../api.ts';
import { attempt } from './acts.ts';
import { fetchReadings } from './curves.ts';
import type { Point } from './series.ts';

/** Cooks laid over each other. */

export const ALIGNS = ['lit', 'band', 'launch'] as const;
export type Align = (typeof ALIGNS)[number];
export type Laid = { cook: CookDetail; stone: readonly (readonly [t: number, celsius: number])[] };

export const laid = signal<readonly Laid[]>([]);
export const align = signal<Align>('band');
export const trends = signal<TrendList['trends']>([]);

/** Points that are drawn a cook. */
const POINTS = 400;

export async function toggleCook(id: number): Promise<void> {
  if (laid.value.some(({ cook }) => cook.id === id)) {
    laid.value = laid.value.filter(({ cook }) => cook.id !== id);
    return;
  }
  const cook = await attempt(`lay ${id}`, () => call<CookDetail>('GET', `/api/cooks/${id}`));
  const points = cook && (await attempt(`lay readings ${id}`, () => fetchReadings(id, { points: POINTS })));
  if (cook && points) laid.value = [...laid.value, { cook, stone: stoneOf(cook, points) }];
}

function stoneOf(cook: CookDetail, points: readonly Point[]): Laid['stone'] {
  const id = cook.channels.find(({ role }) => role === 'stone')?.id;
  return points.flatMap(({ channel, t, celsius, quality }) =>
    channel === id && celsius !== null && quality !== 'bad' ? [[t, celsius] as const] : [],
  );
}

/** Where a cook's 0 lies, s since its start; null where the cook has no such moment. */
export function originOf({ cook, stone }: Laid, by: Align): number | null {
  const event = (name: string): number | null =>
    cook.marks.find((m) => m.kind === 'event' && m.name === name && !m.undone)?.t ?? null;
  if (by === 'lit') return event('fire-lit') ?? stone[0]?.[0] ?? null;
  if (by === 'band') return stone.find(([, celsius]) => celsius >= cook.targets.stone[0])?.[0] ?? null;
  const launches = cook.run.flatMap(({ pizza }) => pizza.launchedAt ?? []);
  return launches.length > 0 ? Math.min(...launches) : event('launch');
}

export async function loadTrends(): Promise<void> {
  const answer = await attempt('trends', () => call<TrendList>('GET', '/api/trends'));
  if (answer) trends.value = answer.trends;
}
