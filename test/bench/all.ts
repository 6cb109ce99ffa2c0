import { calibration } from './bare/bare-loop.ts';
import { analyseBench } from './benches/analyse.bench.ts';
import { holds, type Bench, type Row } from './bench.ts';
import { broadcastBench } from './benches/broadcast.bench.ts';
import { bundleBench } from './benches/bundle.bench.ts';
import { engineBench } from './benches/engine.bench.ts';
import { installBench } from './benches/install.bench.ts';
import { keepRun, lastFigures, loadNow } from './history.ts';
import { ingestBench } from './benches/ingest.bench.ts';
import { loadBench } from './benches/load.bench.ts';
import { memoryBench } from './benches/memory.bench.ts';
import { pageBench } from './benches/page.bench.ts';
import { startBench } from './benches/start.bench.ts';

/** All benchmarks. A new one: a file here and its line below. */
const benches: readonly Bench[] = [
  analyseBench,
  engineBench,
  ingestBench,
  bundleBench,
  broadcastBench,
  startBench,
  pageBench,
  loadBench,
  memoryBench,
  installBench,
];

const budgetText = ({ budget }: Row): string =>
  budget === undefined ? '' : 'least' in budget ? `at least ${budget.least}` : `at most ${budget.most}`;

const written = (value: number): string => Number(value.toPrecision(4)).toString();

function print(row: Row, before: number | undefined): void {
  const verdict = row.budget === undefined ? '    ' : holds(row) ? 'ok  ' : 'FAIL';
  const was = before === undefined ? '' : `was ${written(before)}`;
  console.log(
    `${verdict}  ${row.name.padEnd(80)} ${written(row.value).padStart(9)} ${row.unit.padEnd(12)} ${budgetText(row).padEnd(15)} ${was}`,
  );
}

/** @param report the file that keeps the figures of every run. @returns the exit code: 1 when a budget does not hold */
export async function runAll(names: readonly string[], report: string): Promise<number> {
  const chosen = benches.filter(({ name, isLong }) => (names.length === 0 ? !isLong : names.includes(name)));
  if (chosen.length === 0) {
    console.error(`There is no such benchmark: there are ${benches.map((bench) => bench.name).join(', ')}.`);
    return 1;
  }
  const load = loadNow();
  if (load > 1) console.log(`Other programs are at work (load ${load.toFixed(1)}): the figures suffer.`);
  const step = calibration();
  console.log(`Calibration: a step of a bare loop takes ${(step * 1000).toPrecision(3)} ns.`);
  const before = lastFigures(report);
  const all: Row[] = [];
  for (const bench of chosen) {
    const rows = await Promise.resolve(bench.run()).catch((error: unknown): Row[] => [
      { name: `${bench.name}, which threw ${String(error)}`, value: 1, unit: 'error', budget: { most: 0 } },
    ]);
    for (const row of rows) print(row, before.get(row.name));
    all.push(...rows);
  }
  keepRun(report, all, { load, step });
  const failed = all.filter((row) => !holds(row));
  if (failed.length > 0)
    console.log(`\n${failed.length} of ${all.length} figures are not within their budget.`);
  return failed.length > 0 ? 1 : 0;
}
