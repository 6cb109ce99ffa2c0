import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { linearRegression, mean, standardDeviation } from 'simple-statistics';
import type { Bench } from '../bench.ts';

type Hour = { hour: number; rss: number; heap: number };

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
    const second = hours.slice(24);
    const heap = slope(second.map(({ hour, heap }) => [hour, heap] as const));
    const resident = (from: number, to: number): number => mean(hours.slice(from, to).map(({ rss }) => rss));
    const what = 'memory, 48 simulated hours of 2 channels at 1 Hz';
    return [
      {
        name: `${what}: the most that was resident`,
        value: Math.max(...hours.map(({ rss }) => rss)),
        unit: 'MB',
        budget: { most: 150 },
      },
      {
        name: `${what}: heap in use on the second day, slope less two standard errors`,
        value: heap.perDay - 2 * heap.error,
        unit: 'MB a day',
        budget: { most: 0 },
      },
      { name: `${what}: that slope`, value: heap.perDay, unit: 'MB a day' },
      {
        // The allocator takes its time to come to rest, so that resident memory is asked about the end alone.
        name: `${what}: resident in the last 6 h, more than in the 6 before`,
        value: resident(42, 48) - resident(36, 42),
        unit: 'MB',
        budget: { most: 0.5 },
      },
    ];
  },
};
