/**
 * npm run bench:steer -- [--half tune|held] [--count N] [--cooks]
 * Warm-ups of 90 min on the grills of a half: by feel, by a plain rule, and by the engine's advice, by people who are late
 * and inexact. --cooks: a line for each.
 */
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { median } from '../scoring/report.ts';
import { warmUp, STRATEGIES, type WarmUp } from './steer.ts';

const { values } = parseArgs({
  options: {
    half: { type: 'string', default: 'tune' },
    count: { type: 'string', default: '40' },
    cooks: { type: 'boolean', default: false },
  },
});
const half = z.enum(['tune', 'held']).parse(values.half);
const count = z.coerce.number().int().positive().parse(values.count);

const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
const present = (values: readonly (number | null)[]): number[] => values.filter((x) => x !== null);

function row(strategy: string, all: readonly WarmUp[]): string {
  const ready = present(all.map(({ readyMinutes }) => readyMinutes));
  const cells = [
    all.filter(({ over }) => over > 10).length,
    all.length - ready.length,
    mean(present(all.map(({ inBand }) => inBand))).toFixed(2),
    (median(ready) ?? Number.NaN).toFixed(1),
    mean(ready).toFixed(1),
    mean(all.map(({ charcoal }) => charcoal)).toFixed(2),
  ];
  return strategy.padEnd(16) + cells.map((cell) => String(cell).padStart(12)).join('');
}

const heads = ['over > 10 °C', 'never ready', 'in band', 'ready, min', 'mean', 'charcoal, kg'];
console.log(`${half}, ${count} warm-ups`.padEnd(16) + heads.map((head) => head.padStart(12)).join(''));
for (const strategy of STRATEGIES) {
  const all = Array.from({ length: count }, (_, i) => warmUp(half, i, strategy));
  if (values.cooks)
    for (const { name, over, readyMinutes, inBand } of all)
      console.log(
        name,
        strategy,
        Math.round(over),
        readyMinutes?.toFixed(0) ?? '-',
        inBand?.toFixed(2) ?? '-',
      );
  console.log(row(strategy, all));
}
