import { analyseBench } from './analyse.bench.ts';
import { holds, type Bench, type Row } from './bench.ts';
import { broadcastBench } from './broadcast.bench.ts';
import { bundleBench } from './bundle.bench.ts';
import { engineBench } from './engine.bench.ts';
import { ingestBench } from './ingest.bench.ts';
import { learningBench } from './learning.bench.ts';
import { loadBench } from './load.bench.ts';
import { recoverBench } from './recover.bench.ts';

/** All benchmarks. A new one: a file here and its line below. */
const benches: readonly Bench[] = [
  analyseBench,
  engineBench,
  ingestBench,
  bundleBench,
  learningBench,
  broadcastBench,
  recoverBench,
  loadBench,
];

const budgetText = ({ budget }: Row): string =>
  budget === undefined ? '' : 'least' in budget ? `at least ${budget.least}` : `at most ${budget.most}`;

function print(row: Row): void {
  const verdict = row.budget === undefined ? '    ' : holds(row) ? 'ok  ' : 'FAIL';
  const value = Number(row.value.toPrecision(4)).toString();
  console.log(
    `${verdict}  ${row.name.padEnd(64)} ${value.padStart(10)} ${row.unit.padEnd(14)} ${budgetText(row)}`,
  );
}

/** @returns the exit code: 1 when a budget does not hold */
export async function runAll(names: readonly string[]): Promise<number> {
  const chosen = benches.filter((one) => names.length === 0 || names.includes(one.name));
  if (chosen.length === 0) {
    console.error(`There is no such benchmark: there are ${benches.map((one) => one.name).join(', ')}.`);
    return 1;
  }
  let failed = 0;
  for (const bench of chosen) {
    const rows = await bench.run();
    rows.forEach(print);
    failed += rows.filter((row) => !holds(row)).length;
  }
  return failed > 0 ? 1 : 0;
}
