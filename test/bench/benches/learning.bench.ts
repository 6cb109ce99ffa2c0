import { GRILLS, median, misses } from '../../evening/bake/eaters.ts';
import type { Bench, Row } from '../bench.ts';

const EATERS = 200;
const VERDICTS = 6;

/** How far the called time is from what simulated eaters want, in the middle of them, in percent of it. */
const rows = (): Row[] =>
  GRILLS.map((grill) => ({
    name: `learning, median after ${VERDICTS} verdicts at ${grill.celsius} °C, ${grill.material}`,
    value: 100 * median(misses(grill, EATERS, VERDICTS)),
    unit: '%',
    budget: { most: 8 },
  }));

export const learningBench: Bench = { name: 'learning', run: rows };
