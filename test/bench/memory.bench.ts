import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { linearRegression, mean, standardDeviation } from 'simple-statistics';
import type { Bench } from './bench.ts';

const READINGS_A_DAY = 2 * 24 * 3600;
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
    const heapFrom = (from: number) =>
      slope(hours.slice(from).map(({ hour, heap }) => [hour, heap] as const));
    const [day, rest] = [heapFrom(24), heapFrom(36)];
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
        // V8 goes on compiling what is seldom run for a day and a half, some 0.1 MB.
        name: `${what}: heap in use in the last 12 h, slope less two standard errors`,
        value: rest.perDay - 2 * rest.error,
        unit: 'MB a day',
        budget: { most: 0 },
      },
      { name: `${what}: that slope`, value: rest.perDay, unit: 'MB a day' },
      {
        // What is kept in an array grows by leaps, which half a day can miss; a number kept of each reading takes 8 bytes.
        name: `${what}: kept of a reading on the second day, less two standard errors`,
        value: ((day.perDay - 2 * day.error) * 1e6) / READINGS_A_DAY,
        unit: 'bytes',
        budget: { most: 1 },
      },
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
