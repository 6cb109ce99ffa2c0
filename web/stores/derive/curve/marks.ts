import type { Now } from '../../../../shared/api/live.ts';
import type { Pizza } from '../../../../shared/evening/pizza.ts';
import type { Bar, Glyph, Span } from '../../../lib/plot/plot-scene.ts';
import { browningOf } from './browning.ts';
import { runAhead } from '../pizza-countdowns.ts';

/** What is marked on the line of time. Times in seconds since the cook started. Pure. */

const GLYPHS: Record<string, Glyph['kind']> = {
  vent: 'vent',
  fuel: 'fuel',
  note: 'note',
  'fire-lit': 'fire',
};

export const nowBars = (now: Now, t: number): Bar[] => [
  ...now.pizzas.flatMap((p) => bakedBar(p, t)),
  ...runAhead(now, t).map(({ from, to, name }): Bar => ({ from, to, name, kind: 'planned' })),
];

function bakedBar(pizza: Pizza, t: number): Bar[] {
  const { name, launchedAt, offAt, offAfter } = pizza;
  if (launchedAt === null) return [];
  const brown = browningOf(pizza, t) ?? 0;
  if (offAt !== null) return [{ from: launchedAt, to: offAt, name, kind: 'baked', brown }];
  return [{ from: launchedAt, to: Math.max(t, launchedAt + offAfter), name, kind: 'baking', brown }];
}

type Named = { t: number; name: string; undone?: boolean | undefined };

export const eventsOf = (now: Now): Named[] =>
  now.events.map(({ t, event, undone }) => ({ t, name: event, undone }));

export const glyphs = (events: readonly Named[]): Glyph[] =>
  events.flatMap(({ t, name, undone }) => {
    const kind = GLYPHS[name];
    return kind && !undone ? [{ t, kind }] : [];
  });

/** Steps of the plan that have a place of their own on the line: the pizzas have their bars. */
const STEP_WORDS: Partial<Record<string, string>> = {
  mix: 'mix',
  ball: 'balls',
  'light-fire': 'light',
  'stone-on': 'stone on',
  toppings: 'toppings',
  'launch:1': 'first pizza',
  'shut-down': 'shut down',
};

/** The plan's steps on the cook's clock; a name stands only where the one before leaves it room, `apart` s. */
export function planGlyphs({ plan }: Pick<Now, 'plan'>, apart: number): Glyph[] {
  let named = -Infinity;
  return (plan?.steps ?? []).flatMap(({ id, t, done }): Glyph[] => {
    const word = STEP_WORDS[id];
    if (t === null || !word) return [];
    const room = !done && t - named >= apart;
    if (room) named = t;
    return [{ t, kind: done ? 'step-done' : 'step', ...(room && { label: word }) }];
  });
}

/** When the lid was open. @param end time up to which a lid that was not closed stays open */
export function lidSpans(events: readonly Named[], end: number): Span[] {
  const spans: Span[] = [];
  let from: number | null = null;
  for (const { t, name, undone } of events) {
    if (undone) continue;
    if (name === 'lid-open') from ??= t;
    if (name === 'lid-closed' && from !== null) {
      spans.push({ from, to: t });
      from = null;
    }
  }
  return from === null ? spans : [...spans, { from, to: Math.max(from, end) }];
}
