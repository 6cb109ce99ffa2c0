import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { linearRegression, standardDeviation } from 'simple-statistics';
import type { Bench } from './bench.ts';

type Hour = { hour: number; rss: number; heap: number; messages: number };

async function twoDays(): Promise<Hour[]> {
  const file = fileURLToPath(new URL('./two-days.js', import.meta.url));
  const child = spawn(process.execPath, ['--expose-gc', file], { stdio: ['ignore', 'pipe', 'inherit'] });
  const hours: Hour[] = [];
  createInterface({ input: child.stdout }).on('line', (line) => hours.push(JSON.parse(line) as Hour)); // printed by ours
  await once(child, 'close');
  if (hours.length < 48) throw new Error(`the two days ended after ${hours.length} hours`);
  return hours;
}

/** MB a day and the standard error of it, by least squares. */
function slope(points: readonly (readonly [hour: number, mb: number])[]): { perDay: number; error: number } {
  const line = linearRegression(points.map(([x, y]) => [x, y]));
  const left = points.map(([x, y]) => y - line.b - line.m * x);
  const spread = standardDeviation(points.map(([x]) => x));
  const error = standardDeviation(left) / (spread * Math.sqrt(points.length - 2));
  return { perDay: 24 * line.m, error: 24 * error };
}

export const memoryBench: Bench = {
  name: 'memory',
  async run() {
    const hours = await twoDays();
    const later = hours.slice(12);
    const heap = slope(later.map(({ hour, heap }) => [hour, heap] as const));
    const rss = slope(later.map(({ hour, rss }) => [hour, rss] as const));
    const what = 'memory, 48 simulated hours of 2 channels at 1 Hz';
    return [
      {
        name: `${what}, the most that was resident`,
        value: Math.max(...hours.map(({ rss }) => rss)),
        unit: 'MB',
        budget: { most: 150 },
      },
      {
        name: `${what}, resident after hour 12: slope less two standard errors`,
        value: rss.perDay - 2 * rss.error,
        unit: 'MB a day',
        budget: { most: 0 },
      },
      { name: `${what}, heap in use after hour 12: slope`, value: heap.perDay, unit: 'MB a day' },
    ];
  },
};
