/**
 * npm run bench:engine -- [--bank DIR | --write DIR] [--each] [--cooks] [--json]
 * Scores the engine and a plain threshold alarm on the project's own bank, or on a folder of recordings with truths.
 * --write DIR: writes the project's bank there as recordings with their truths (.build is left out of git), and ends.
 * --each: a column for each kind of person; --cooks: a line of JSON for each cook; --json: the table as JSON.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { engineLines, stoneReadings } from './engine-lines.ts';
import { folderBank, ownBank, type Case } from './bank.ts';
import { plainAlarm } from './plain-alarm.ts';
import { figures, table, type Figure } from './report.ts';
import { scoreCook, type CookScore } from './score.ts';

type Pair = { engine: CookScore; plain: CookScore };

function score(one: Case): Pair {
  const { truth, header, lines } = one;
  return {
    engine: scoreCook(truth, engineLines(header, lines)),
    plain: scoreCook(truth, plainAlarm(stoneReadings(lines), truth.stoneBand)),
  };
}

/** What went wrong in a cook, short. */
function brief({ name, kind, ready, overshoot, eta, noticed, alerts, hours }: CookScore): string {
  const errors = eta.errors.toSorted((a, b) => a - b);
  return JSON.stringify({
    name,
    kind,
    ready: [ready.hit, ready.missed, ready.extra],
    ahead: [overshoot.ahead.hit, overshoot.ahead.missed, overshoot.ahead.extra],
    told: [overshoot.told.hit, overshoot.told.missed, overshoot.told.extra],
    etaErrorMedian: Math.round(errors[Math.floor((errors.length - 1) / 2)] ?? -1),
    lid: Object.values(noticed['lid-open']),
    launch: Object.values(noticed.launch),
    off: Object.values(noticed.off),
    alertsAnHour: Math.round((10 * alerts) / hours) / 10,
  });
}

const asRecord = (list: readonly Figure[]): Record<string, number | null> =>
  Object.fromEntries(list.map(({ what, value }) => [what, value]));

function print(pairs: readonly Pair[], options: { each: boolean; cooks: boolean; json: boolean }): void {
  const engine = pairs.map((pair) => pair.engine);
  const plain = pairs.map((pair) => pair.plain);
  if (options.cooks) for (const one of engine) console.log(brief(one));
  if (options.json) {
    console.log(JSON.stringify({ engine: asRecord(figures(engine)), plain: asRecord(figures(plain)) }));
    return;
  }
  console.log(
    table([
      { head: 'engine', figures: figures(engine) },
      { head: 'plain alarm', figures: figures(plain) },
    ]),
  );
  if (!options.each) return;
  const kinds = [...new Set(engine.map(({ kind }) => kind))];
  const of = (kind: string): Figure[] => figures(engine.filter((one) => one.kind === kind));
  console.log(
    `\nengine, by the kind of person\n${table(kinds.map((kind) => ({ head: kind, figures: of(kind) })))}`,
  );
}

function write(folder: string): void {
  mkdirSync(folder, { recursive: true });
  for (const { truth, header, lines } of ownBank()) {
    const text = [header, ...lines].map((line) => JSON.stringify(line) + '\n').join('');
    writeFileSync(join(folder, `${truth.name}.jsonl`), text);
    writeFileSync(join(folder, `${truth.name}.truth.json`), JSON.stringify(truth));
  }
}

const { values } = parseArgs({
  options: {
    bank: { type: 'string' },
    write: { type: 'string' },
    each: { type: 'boolean', default: false },
    cooks: { type: 'boolean', default: false },
    json: { type: 'boolean', default: false },
  },
});
if (values.write === undefined) {
  const pairs: Pair[] = [];
  for (const one of values.bank === undefined ? ownBank() : folderBank(values.bank)) pairs.push(score(one));
  print(pairs, values);
} else write(values.write);
