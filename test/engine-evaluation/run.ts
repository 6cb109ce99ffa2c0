/**
 * npm run bench:engine -- [--bank DIR | --half tune|held [--count N] [--looks SECONDS [--dial] [--answers]]] [--each] [--cooks] [--json]
 * npm run bench:engine -- --learn [--half tune|held] [--count N]
 * npm run bench:engine -- --tune NAME [--count N]
 * npm run bench:engine -- --write DIR [--half tune|held [--count N] [--same-grill [--steady]]]
 * Scores the engine and a plain threshold alarm on the project's own bank, on a half of the varied one (`held` is
 * reported, never tuned on), or on a folder of recordings with truths.
 * --looks: the stone only looked at, so often on the whole; --dial: and the dome only read off its dial.
 * --answers: the stone also looked at when a look is asked for, and how often that was before the first pizza.
 * --learn: what a grill's earlier cooks are worth, over N grills of four cooks each: dome steady, given, as people are.
 * --tune: tries the values of a constant of the engine on the half to tune on (tune/constants.ts).
 * --write DIR: writes the bank there as recordings with their truths (.build is left out of git), and ends;
 * --same-grill: N grills with four cooks each, a folder a grill; --steady: all by a patient hand.
 * The coverage of the curve's ranges by horizon is drawn into .build/calibration.svg.
 * --each: a column for each kind of person; --cooks: a line of JSON for each cook; --json: the table as JSON.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { answeredLines, engineLines, stoneReadings } from './engine-lines.ts';
import { caseOf, casesOfFolder, ownCases, variedCases, writeCases, type Case } from './case-bank.ts';
import { calibrationSvg, coverage } from './scoring/calibration.ts';
import { grillsOf, learning, learningTable, MODES } from './learn/learn.ts';
import { plainAlarm } from './scoring/plain-alarm.ts';
import { figures, median, quantile, table, type Figure } from './scoring/report.ts';
import { LOOKED_AT, MEASURED, scoreCook, type Bounds, type CookScore } from './scoring/score.ts';
import { tune } from './tune/tune.ts';
import { sameGrill } from './varied/cooks.ts';
import type { Half } from './varied/structures.ts';

/** `looks`: at the stone, before the first pizza. */
type Pair = { engine: CookScore; plain: CookScore; looks: number };

function score(bankCase: Case, bounds: Bounds): Pair {
  const { truth, header, lines } = bankCase;
  const answered = bankCase.answer ? answeredLines(bankCase) : null;
  const launch = truth.actions.find((act) => act.do === 'launch')?.t ?? truth.duration;
  return {
    engine: scoreCook(truth, answered?.lines ?? engineLines(header, lines), bounds),
    plain: scoreCook(truth, plainAlarm(stoneReadings(lines), truth.stoneBand), bounds),
    looks: answered?.looks.filter((t) => t < launch).length ?? 0,
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
    announced: [overshoot.announced.hit, overshoot.announced.missed, overshoot.announced.extra],
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
  if (options.cooks) for (const score of engine) console.log(brief(score));
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
  const of = (kind: string): Figure[] => figures(engine.filter((score) => score.kind === kind));
  console.log(
    `\nengine, by the kind of person\n${table(kinds.map((kind) => ({ head: kind, figures: of(kind) })))}`,
  );
}

const COOKS_OF_A_GRILL = 4;

const { values } = parseArgs({
  options: {
    bank: { type: 'string' },
    write: { type: 'string' },
    looks: { type: 'string' },
    dial: { type: 'boolean', default: false },
    answers: { type: 'boolean', default: false },
    learn: { type: 'boolean', default: false },
    tune: { type: 'string' },
    half: { type: 'string' },
    count: { type: 'string', default: '50' },
    'same-grill': { type: 'boolean', default: false },
    steady: { type: 'boolean', default: false },
    each: { type: 'boolean', default: false },
    cooks: { type: 'boolean', default: false },
    json: { type: 'boolean', default: false },
  },
});
const half = z.enum(['tune', 'held']).optional().parse(values.half);
const count = z.coerce.number().int().positive().parse(values.count);

function writeGrills(folder: string, of: Half): void {
  for (let i = 0; i < count; i++)
    writeCases(join(folder, String(i + 1)), sameGrill(of, i, COOKS_OF_A_GRILL, values.steady).map(caseOf));
}

const every = z.coerce.number().positive().optional().parse(values.looks);
const looking = every === undefined ? null : { every, dial: values.dial, answers: values.answers };

function learn(of: Half): void {
  for (const mode of MODES) {
    const cooks = [...learning(grillsOf(of, count, mode), mode)];
    console.log(`${mode}: ${cooks.length} cooks of ${count} grills\n${learningTable(cooks)}\n`);
  }
}

if (values.learn) learn(half ?? 'tune');
else if (values.tune !== undefined) tune(values.tune, count);
else if (values.write !== undefined && half !== undefined && values['same-grill'])
  writeGrills(values.write, half);
else if (values.write !== undefined)
  writeCases(values.write, half === undefined ? ownCases() : variedCases(half, count, looking));
else {
  const pairs: Pair[] = [];
  const bank = half === undefined ? ownCases() : variedCases(half, count, looking);
  for (const bankCase of values.bank === undefined ? bank : casesOfFolder(values.bank))
    pairs.push(score(bankCase, looking ? LOOKED_AT : MEASURED));
  print(pairs, values);
  const looks = pairs.map((pair) => pair.looks).sort((a, b) => a - b);
  if (values.answers)
    console.log(`looks before the first pizza: median ${median(looks)}, nine of ten ${quantile(looks, 0.9)}`);
  const found = coverage(pairs.map(({ engine }) => engine));
  mkdirSync('.build', { recursive: true });
  writeFileSync(join('.build', 'calibration.svg'), calibrationSvg(found));
  if (!values.json)
    for (const { minutes, points, held } of found)
      console.log(
        `${minutes} min ahead, ${points} points, meant/held: ` +
          held.map((at) => `${at.meant}/${at.held.toFixed(2)}`).join(' '),
      );
}
