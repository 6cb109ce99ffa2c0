import type { Evening, EveningStep } from '../../../shared/evening.ts';

/** `to` comes no sooner than `minutes` after `from`. */
export type Link = { from: string; to: string; minutes: number };

const MINUTE = 60_000;
/** A bulk may be cut to this: what yeast and time are in doubt by, less a margin (common practice, no source). */
export const BULK_KEEPS = 0.8;

const PAIRS: readonly (readonly [string, string])[] = [
  ['weigh', 'mix'],
  ['mix', 'knead'],
  ['knead', 'bulk'],
  ['ball', 'rest'],
  ['rest', 'stretch:1'],
  ['light-fire', 'stone-on'],
  ['soak', 'launch:1'],
];
/** Stretches in which the dough ripens; they give way a little. */
const RIPENING: readonly (readonly [string, string])[] = [
  ['bulk', 'cold'],
  ['cold', 'warm'],
  ['warm', 'ball'],
  ['bulk', 'ball'],
];
/** What must be over before, however shortly. */
const ORDER: readonly (readonly [string, string])[] = [
  ['sauce', 'stretch:1'],
  ['toppings', 'stretch:1'],
  ['stone-on', 'soak'],
];

function ofPizzas(count: number): [string, string][] {
  return Array.from({ length: count }, (_, i) => i + 1).flatMap((k): [string, string][] => [
    [`stretch:${k}`, `launch:${k}`],
    [`launch:${k}`, `turn:${k}`],
    [`launch:${k}`, `off:${k}`],
    k < count ? [`off:${k}`, `launch:${k + 1}`] : [`off:${k}`, 'shut-down'],
  ]);
}

/** What depends on what in an evening, with the least minutes between, from the plan as it was first worked out. */
export function linksOf(evening: Evening): Link[] {
  const { settings, fire, steps } = evening;
  const at = new Map(steps.map(({ id, at }) => [id, Date.parse(at)]));
  const link =
    (share: number) =>
    (pair: readonly [string, string]): Link[] => {
      const [from, to] = [at.get(pair[0]), at.get(pair[1])];
      if (from === undefined || to === undefined) return [];
      return [{ from: pair[0], to: pair[1], minutes: (share * (to - from)) / MINUTE }];
    };
  const bulk = evening.coldHours > 0 ? RIPENING.slice(0, 3) : RIPENING.slice(3);
  return [
    ...[...PAIRS, ...ofPizzas(settings.pizzas), ['shut-down', 'ash-out'] as const].flatMap(link(1)),
    ...bulk.flatMap(link(BULK_KEEPS)),
    ...ORDER.flatMap(link(0)),
    // A late fire is given the time that half of all fires need, and the odds are told.
    { from: 'light-fire', to: 'launch:1', minutes: fire.middle },
  ];
}

function reach(
  ids: readonly string[],
  links: readonly Link[],
  from: 'from' | 'to',
  to: 'from' | 'to',
): Set<string> {
  const found = new Set<string>();
  const queue = [...ids];
  for (let id = queue.pop(); id !== undefined; id = queue.pop())
    for (const link of links)
      if (link[from] === id && !found.has(link[to])) {
        found.add(link[to]);
        queue.push(link[to]);
      }
  return found;
}

/** Ids of all steps that come before one of these along the links. */
export const before = (ids: readonly string[], links: readonly Link[]): Set<string> =>
  reach(ids, links, 'to', 'from');
/** Ids of all steps that wait for one of these along the links. */
export const after = (ids: readonly string[], links: readonly Link[]): Set<string> =>
  reach(ids, links, 'from', 'to');

/** Steps so ordered that none comes before what it waits for; by time where the links leave it open. */
export function inOrder(steps: readonly EveningStep[], links: readonly Link[]): EveningStep[] {
  const byTime = [...steps].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  const left = new Map(byTime.map((step) => [step.id, step]));
  const sorted: EveningStep[] = [];
  while (left.size > 0) {
    const next = [...left.values()].find(
      ({ id }) => !links.some((link) => link.to === id && left.has(link.from)),
    );
    if (!next) return byTime; // a circle: cannot come of linksOf
    left.delete(next.id);
    sorted.push(next);
  }
  return sorted;
}
