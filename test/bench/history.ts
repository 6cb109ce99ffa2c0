import { execFileSync } from 'node:child_process';
import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { holds, type Row } from './bench.ts';

/** One run: when, of what, how busy the machine was, and every figure with its budget. A line of the file. */
type Run = {
  at: string;
  commit: string | null;
  node: string;
  cores: number;
  /** Processes that wanted to run in the minute before, as the operating system counts them. */
  load: number;
  /** Calibration: µs for a step of the bare loop; older runs have none. */
  step?: number;
  rows: (Row & { ok: boolean })[];
};

/** The last figure of each name. */
export function lastFigures(file: string): Map<string, number> {
  if (!existsSync(file)) return new Map();
  const runs = readFileSync(file, 'utf8')
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line) as Run); // written below
  return new Map(runs.flatMap(({ rows }) => rows.map(({ name, value }) => [name, value] as const)));
}

/** @param machine its load before the run made its own, and its calibration */
export function keepRun(
  file: string,
  rows: readonly Row[],
  { load, step }: { load: number; step: number },
): void {
  const rounded = rows.map((row) => ({
    ...row,
    value: Number(row.value.toPrecision(4)),
    ok: holds(row),
  }));
  const run: Run = {
    at: `${new Date().toISOString().slice(0, 16)}Z`,
    commit: commit(),
    node: process.versions.node,
    cores: cpus().length,
    load: Number(load.toFixed(1)),
    step: Number(step.toPrecision(3)),
    rows: rounded,
  };
  appendFileSync(file, `${JSON.stringify(run)}\n`);
}

export const loadNow = (): number => loadavg()[0] ?? 0;

function commit(): string | null {
  try {
    return execFileSync('git', ['rev-parse', '--short', 'HEAD'], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim();
  } catch {
    return null;
  }
}
