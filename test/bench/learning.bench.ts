import { misses } from '../evening/bake/tasters.ts';
import type { Bench, Row } from './bench.ts';

const PEOPLE = 500;
const PIZZAS = 8;

/** How far the advised time is from the hidden taste of simulated people; nine out of ten are within the figure. */
function row(name: string, randomVerdicts: number, most: number): Row {
  const all = misses(PEOPLE, PIZZAS, randomVerdicts, 10_000);
  const value = all[Math.floor(PEOPLE * 0.9)] ?? Number.NaN;
  return {
    name: `learning, 90 % of people after ${PIZZAS} pizzas, ${name}`,
    value,
    unit: 's',
    budget: { most },
  };
}

export const learningBench: Bench = {
  name: 'learning',
  run: () => [row('honest', 0, 15), row('20 % random verdicts', 0.2, 30)],
};
