import type { PlanPizza } from '../../../shared/evening/plan.ts';

/** A pizza of the run by its id in the cook that follows the plan; null: it has none yet. */
export type Planned = { id: string | null; wish: PlanPizza };

/** What a changed run does to the cook: pizzas whose wish changed or that are new, ids that are gone, a new order or null. */
type RunChanges = { run: Planned[]; changed: Planned[]; gone: string[]; order: string[] | null };

const isSame = (a: PlanPizza, b: PlanPizza): boolean => JSON.stringify(a) === JSON.stringify(b);
const isNamedAlike = (a: PlanPizza, b: PlanPizza): boolean => a.name === b.name && a.eater === b.eater;

/**
 * Which pizza of the cook each entry of the changed run is: the one that reads the same, else the one of that name and
 * eater, else the one in its place. What the cook itself changed of a pizza stays where the plan says the same as before.
 */
export function runChanges(before: readonly Planned[], after: readonly PlanPizza[]): RunChanges {
  const free = new Set(before);
  const found = after.map((): Planned | undefined => undefined);
  const rules = [
    (old: Planned, wish: PlanPizza) => isSame(old.wish, wish),
    (old: Planned, wish: PlanPizza) => isNamedAlike(old.wish, wish),
    () => true,
  ];
  for (const isMeant of rules)
    after.forEach((wish, place) => {
      if (found[place]) return;
      const inPlace = before[place];
      const candidates = inPlace && free.has(inPlace) ? [inPlace, ...free] : [...free];
      const match = candidates.find((old) => isMeant(old, wish));
      if (!match) return;
      found[place] = match;
      free.delete(match);
    });
  const run = after.map((wish, place) => ({ id: found[place]?.id ?? null, wish }));
  const ids = run.flatMap(({ id }) => id ?? []);
  const old = before.flatMap(({ id }) => (id !== null && ids.includes(id) ? id : []));
  return {
    run,
    changed: run.filter(({ wish }, place) => !found[place] || !isSame(found[place].wish, wish)),
    gone: [...free].flatMap(({ id }) => id ?? []),
    order: ids.some((id, i) => id !== old[i]) ? ids : null,
  };
}
