import type { Guest, PlanDraft, PlanPizza } from '../../../shared/evening/plan.ts';

const isPlain = ({ name, toppings }: PlanPizza): boolean => name === '' && toppings === '';

/** The run without as many pizzas as are too many: of its end those that nothing was said of, and of eaters with others. */
function shortened(run: readonly PlanPizza[], pizzas: number): PlanPizza[] {
  const left = [...run];
  while (left.length > pizzas) {
    const hasOthers = ({ eater }: PlanPizza): boolean =>
      left.filter((pizza) => pizza.eater === eater).length > 1;
    const place = [(pizza: PlanPizza) => isPlain(pizza) && hasOthers(pizza), isPlain, hasOthers]
      .map((isMeant) => left.findLastIndex(isMeant))
      .find((found) => found >= 0);
    left.splice(place ?? -1, 1);
  }
  return left;
}

const BLANK_PIZZA: PlanPizza = {
  name: '',
  eater: '',
  taste: { base: 0, crust: 0, wetness: 0 },
  diet: 'all',
  toppings: '',
};

/**
 * One pizza an entry, in the order of the run. What was said of a pizza stays with it, whatever else of the evening
 * changes: more pizzas come at its end, each for whoever of the guests has the fewest, so do those of a guest who does
 * not come; and a guest without one gets the last pizza, plain ones first, of whoever has most. With fewer pizzas than
 * guests some have none. Taste and diet are the guest's.
 */
export function runFor({ input, guests, run }: Pick<PlanDraft, 'input' | 'guests' | 'run'>): PlanPizza[] {
  const shortest = shortened(run, input.pizzas);
  const all = Array.from({ length: input.pizzas }, (_, i) => ({ ...(shortest[i] ?? BLANK_PIZZA) }));
  if (guests.length === 0) return all;
  const of = (name: string): PlanPizza[] => all.filter(({ eater }) => eater === name);
  const fewest = (): Guest | undefined =>
    guests.reduce<Guest | undefined>(
      (best, guest) => (best && of(best.name).length <= of(guest.name).length ? best : guest),
      undefined,
    );
  const known = new Set(guests.map(({ name }) => name));
  for (const pizza of all) if (!known.has(pizza.eater)) pizza.eater = '';
  for (const pizza of all) if (pizza.eater === '') pizza.eater = fewest()?.name ?? '';
  for (const { name } of guests) {
    const most = Math.max(...guests.map((guest) => of(guest.name).length));
    if (of(name).length > 0 || most < 2) continue;
    const richest = all.filter(({ eater }) => of(eater).length === most);
    const given = richest.findLast(isPlain) ?? richest.at(-1);
    if (given) given.eater = name;
  }
  return all.map((pizza) => {
    const { taste, diet } = guests.find(({ name }) => name === pizza.eater) ?? pizza;
    return { ...pizza, taste, diet };
  });
}
