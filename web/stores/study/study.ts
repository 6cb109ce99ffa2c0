import { computed, effect, signal } from '@preact/signals';
import type { CookDetail, CookMark } from '../../../shared/api/api.ts';
import { formatClockSeconds, formatElapsedSeconds } from '../../lib/format.ts';
import { recall, remember } from '../../lib/browser-memory.ts';
import { attempt } from '../act/acts.ts';
import { fetchReadings } from '../derive/curve/live-curves.ts';
import { lanesOf } from './lanes.ts';
import { look, opened, openedCurves, openedEstimates, range, wholeCurves, wholeRange } from '../past.ts';
import {
  atLaunch,
  estimateAt,
  marksNear,
  momentAt,
  nextOf,
  readAt,
  type Moment,
  type Reading,
} from './read-off.ts';
import { drawnAt, type Point } from '../derive/curve/series.ts';
import { within, zoomAbout } from '../derive/curve/zoom.ts';

/** The cursor on the curve of the open cook, and what is read off there. */

/** s since the cook started; null while nothing is pointed at. */
export const cursor = signal<number | null>(null);

/** Whether times count from the start. A rehearsal has no other. */
const counts = signal(recall('elapsed') === 'yes');
export const elapsed = computed(() => opened.value?.rehearsal === true || counts.value);
export function setElapsed(on: boolean): void {
  counts.value = on;
  remember('elapsed', on ? 'yes' : 'no');
}

export const lanes = computed(() => (opened.value ? lanesOf(opened.value, wholeCurves.value) : []));

/** Readings as they came in, around the cursor: the drawing is thinned. */
type Exact = { cook: number; from: number; to: number; points: readonly Point[] };
const exact = signal<Exact | null>(null);
const AROUND_SECONDS = { before: 150, after: 90 };
/** Wait for the cursor to rest before asking, ms. */
const SETTLE_MS = 80;

let timer: ReturnType<typeof setTimeout> | undefined;
let pending: AbortController | null = null;

function isCovered(cook: number, t: number): boolean {
  const has = exact.peek();
  return has?.cook === cook && t - has.from >= Math.min(65, t) && t <= has.to - 10;
}

async function fetchAround({ id, startedAt }: CookDetail, t: number): Promise<void> {
  pending?.abort();
  const request = (pending = new AbortController());
  const [from, to] = [Math.max(0, t - AROUND_SECONDS.before), t + AROUND_SECONDS.after];
  const start = Date.parse(startedAt);
  const points = await attempt(`readings at ${t}`, () =>
    fetchReadings(id, { from: start + from * 1000, to: start + to * 1000 }, request.signal),
  );
  if (points && pending === request) exact.value = { cook: id, from, to, points };
}

effect(() => {
  const cook = opened.value;
  const t = cursor.value;
  clearTimeout(timer);
  if (!cook || t === null || isCovered(cook.id, t)) return;
  timer = setTimeout(() => void fetchAround(cook, t), SETTLE_MS);
});

export type ReadOff = {
  t: number;
  time: string;
  channels: readonly ({ id: string; name: string; role: string } & Reading)[];
  /** Whether the readings themselves are here; until they are, values are those of the drawing. */
  isExact: boolean;
  moment: Moment | null;
};

const writeMoment = (cook: CookDetail, t: number, asElapsed: boolean): string =>
  asElapsed ? formatElapsedSeconds(t) : formatClockSeconds(Date.parse(cook.startedAt) + t * 1000);

export const readOff = computed<ReadOff | null>(() => {
  const cook = opened.value;
  const t = cursor.value;
  if (!cook || t === null) return null;
  const has = exact.value;
  const isExact = has?.cook === cook.id && t >= has.from && t <= has.to;
  const read = (id: string): Reading =>
    isExact ? readAt(has.points, id, t) : { celsius: drawnAt(openedCurves.value, id, t), perMinute: null };
  const stone = cook.channels.find(({ role }) => role === 'stone')?.id;
  const launch = stone === undefined ? null : atLaunch(cook.run, t, isExact ? has.points : [], stone);
  const stoneNow = (id: string): Reading => {
    const measured = launch ?? read(id);
    return measured.celsius === null ? (estimateAt(openedEstimates.value, t) ?? measured) : measured;
  };
  return {
    t,
    time: writeMoment(cook, t, elapsed.value),
    channels: cook.channels.map(({ id, name, role }) => ({
      id,
      name,
      role,
      ...(id === stone ? stoneNow(id) : read(id)),
    })),
    isExact,
    moment: momentAt(cook, t),
  };
});

/** Pixels on either side of the cursor in which a mark is explained. */
const NEAR_PIXELS = 10;
const MAX_MARKS = 3;

export function marksAtCursor(cook: CookDetail, width: number): CookMark[] {
  const t = cursor.value;
  if (t === null) return [];
  const { from, to } = range.value;
  return marksNear(cook.marks, t, (NEAR_PIXELS / Math.max(1, width)) * (to - from), MAX_MARKS);
}

/** Puts the cursor at a time, and moves what is seen where that lies outside of it. */
export function pointAt(t: number): void {
  const cook = opened.peek();
  if (!cook) return;
  const all = wholeRange(cook);
  const at = Math.min(all.to, Math.max(all.from, t));
  cursor.value = at;
  const { from, to } = range.peek();
  if (at >= from && at <= to) return;
  const length = to - from;
  look(within({ from: at - length / 2, to: at + length / 2 }, all));
}

/** Moves the cursor by a share of what is seen, at least by a second. */
export function moveCursor(share: number): void {
  const { from, to } = range.peek();
  const by = Math.sign(share) * Math.max(1, Math.abs(share) * (to - from));
  pointAt((cursor.peek() ?? (from + to) / 2) + by);
}

/** To the next launch or the next mark of any kind, in a direction. */
export function jump(to: 'launch' | 'mark', direction: 1 | -1): void {
  const cook = opened.peek();
  if (!cook) return;
  const times =
    to === 'launch'
      ? cook.run.flatMap(({ pizza }) => pizza.launchedAt ?? [])
      : cook.marks.filter(({ undone }) => !undone).map(({ t }) => t);
  const from = cursor.peek() ?? (direction === 1 ? -1 : Infinity);
  const next = nextOf(times, from, direction);
  if (next !== null) pointAt(next);
}

/** Looks closer or wider about the cursor, or at all. */
export function zoom(how: 'closer' | 'wider' | 'all'): void {
  const cook = opened.peek();
  if (!cook) return;
  const { from, to } = range.peek();
  const all = wholeRange(cook);
  const at = cursor.peek() ?? (from + to) / 2;
  look(how === 'all' ? all : zoomAbout({ from, to }, at, how === 'closer' ? 0.5 : 2, all));
}
