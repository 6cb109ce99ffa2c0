import type { Evening } from '../../../shared/evening/evening.ts';

/** `to` comes no sooner than `minutes` after `from`. `fire`: the stone's own forecast is stronger, once there is one. */
export type Link = { from: string; to: string; minutes: number; fire?: true };

const MINUTE_MS = 60_000;
/** A bulk may be cut to this: what yeast and time are in doubt by, less a margin (common practice, no source). */
export const MIN_BULK_SHARE = 0.8;

/** Chains of steps; what lies between two of them keeps its time, gives way a little, or only its order. */
const FIXED_CHAINS = [
  ['preferment', 'weigh'],
  ['weigh', 'mix', 'knead', 'bulk'],
  ['ball', 'rest', 'launch:1'],
  ['light-fire', 'stone-on'],
  ['shut-down', 'ash-out'],
];
const RIPENING_STEPS = {
  room: [['bulk', 'ball']],
  mass: [['bulk', 'cold', 'warm', 'ball']],
  balls: [
    ['bulk', 'ball'],
    ['rest', 'cold', 'warm', 'launch:1'],
  ],
};
const STEP_ORDER = [
  ['rest', 'stretch:1'],
  ['sauce', 'stretch:1'],
  ['toppings', 'stretch:1'],
  ['stone-on', 'vents', 'soak'],
];

const pairs = (chains: readonly (readonly string[])[]): [string, string][] =>
  chains.flatMap((chain) => chain.slice(1).map((to, i): [string, string] => [chain[i] ?? '', to]));

/** What depends on what in an evening, with the least minutes between, from the plan as it was first worked out. */
export function linksOf({ settings, fire, steps, coldHours }: Evening): Link[] {
  const at = new Map(steps.map(({ id, at }) => [id, Date.parse(at)]));
  const linked = (share: number, chains: readonly (readonly string[])[]): Link[] =>
    pairs(chains).flatMap(([from, to]) => {
      const [a, b] = [at.get(from), at.get(to)];
      return a === undefined || b === undefined ? [] : [{ from, to, minutes: (share * (b - a)) / MINUTE_MS }];
    });
  const eachPizza = (chains: (k: number) => string[][]): string[][] =>
    Array.from({ length: settings.pizzas }, (_, i) => chains(i + 1)).flat();
  const bakes = eachPizza((k) => [
    [`launch:${k}`, `turn:${k}`],
    [`launch:${k}`, `off:${k}`],
    [`off:${k - 1}`, `refuel:${k}`, `launch:${k}`],
  ]);
  const hands = eachPizza((k) => [
    [`toppings:${k}`, `stretch:${k}`, `launch:${k}`],
    [`warm:${k}`, `stretch:${k}`],
  ]);
  const recoveries = eachPizza((k) => [[`off:${k - 1}`, `launch:${k}`]]);
  return [
    ...linked(1, [...FIXED_CHAINS, ...bakes, [`off:${settings.pizzas}`, 'shut-down']]),
    ...linked(MIN_BULK_SHARE, RIPENING_STEPS[coldHours > 0 ? settings.coldAs : 'room']),
    ...linked(0, [...STEP_ORDER, ...hands]),
    // The stone comes back at its own pace, and a late fire is given what half of all fires need.
    ...linked(1, [...recoveries, ['soak', 'launch:1']]).map((link) => ({ ...link, fire: true as const })),
    { from: 'light-fire', to: 'launch:1', minutes: fire.middle, fire: true },
  ];
}

/** Ids of all steps that come before one of these along the links, or that wait for one of them. */
export function reachableFrom(
  ids: Iterable<string>,
  links: readonly Link[],
  which: 'before' | 'after',
): Set<string> {
  const [near, far] = which === 'after' ? (['from', 'to'] as const) : (['to', 'from'] as const);
  const found = new Set<string>();
  const queue = [...ids];
  for (let id = queue.pop(); id !== undefined; id = queue.pop())
    for (const link of links)
      if (link[near] === id && !found.has(link[far])) {
        found.add(link[far]);
        queue.push(link[far]);
      }
  return found;
}
