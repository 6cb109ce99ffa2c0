import type { CookDetail, CookMark } from '../../../shared/api/api.ts';

/** What happened in a cook, in the parts that its pizzas make of it, by kind. Pure. */

export const KINDS = ['calls', 'pizzas', 'vents', 'fuel', 'lid', 'stone', 'notes', 'other'] as const;
export type Kind = (typeof KINDS)[number];

const OF_EVENT: Record<string, Kind> = {
  launch: 'pizzas',
  turn: 'pizzas',
  off: 'pizzas',
  'bake-times': 'pizzas',
  vent: 'vents',
  fuel: 'fuel',
  'fire-lit': 'fuel',
  'lid-open': 'lid',
  'lid-closed': 'lid',
  note: 'notes',
  look: 'stone',
};

export function kindOf({ kind, name }: Pick<CookMark, 'kind' | 'name'>): Kind {
  if (kind === 'alert') return 'calls';
  if (kind === 'state') return 'stone';
  return OF_EVENT[name] ?? 'other';
}

/** One stretch of the cook. `pizza` is its number in the order of launches, 0 for what was before the first. */
export type Part = { pizza: number; name: string; from: number; marks: CookMark[] };

/**
 * From the start to the first launch, and from each launch to the next.
 * @param kind the only one that is wanted; null for all. A part that has nothing of it is left out.
 */
export function partsOf({ run, marks }: Pick<CookDetail, 'run' | 'marks'>, kind: Kind | null): Part[] {
  const launches = run
    .flatMap(({ pizza: { name, launchedAt } }) => (launchedAt === null ? [] : [{ name, from: launchedAt }]))
    .sort((a, b) => a.from - b.from);
  const parts: Part[] = [
    { pizza: 0, name: '', from: -Infinity, marks: [] },
    ...launches.map(({ name, from }, i) => ({ pizza: i + 1, name, from, marks: [] })),
  ];
  for (const mark of marks)
    if (kind === null || kindOf(mark) === kind)
      parts.findLast(({ from }) => from <= mark.t)?.marks.push(mark);
  return parts.filter((part) => part.marks.length > 0);
}

/** The kinds that there is something of, with how often. */
export const countsOf = (marks: readonly CookMark[]): [kind: Kind, count: number][] =>
  KINDS.map((kind): [Kind, number] => [kind, marks.filter((mark) => kindOf(mark) === kind).length]).filter(
    ([, count]) => count > 0,
  );
