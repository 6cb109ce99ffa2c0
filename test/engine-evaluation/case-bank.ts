import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { readHeader, readLine } from '../../server/core/read-line.ts';
import { live, type Truth } from '../simulator/cook.ts';
import { createRandom } from '../simulator/random.ts';
import { sample, type Sensor } from '../simulator/sensor/sensor.ts';
import { BANK_SIZE, bankCook, type CasePlan } from './cooks.ts';
import { lookedAt, type Looking } from './looks.ts';
import { variedCook } from './varied/cooks.ts';
import type { Half } from './varied/structures.ts';
import { truthFile, type ScoredTruth } from './scoring/truth.ts';
import { headerOf, STONE_AND_DOME } from '../support/header.ts';

/** A recording that carries readings only, beside what was so. `answer`: what is read when a look is asked for at `t`. */
export type Case = {
  truth: ScoredTruth;
  header: RecordingHeader;
  lines: RecordingLine[];
  answer?: (t: number) => RecordingLine[];
};

function channelLines(
  channel: string,
  series: readonly number[],
  sensor: Sensor,
  seed: number,
): RecordingLine[] {
  return sample(series, sensor, createRandom(seed).fork(`bank ${channel}`)).map(({ t, celsius }) =>
    celsius === null ? { t, channel, celsius, fault: 'open-circuit' } : { t, channel, celsius },
  );
}

const headOf = (band: readonly [number, number], withDome: boolean): RecordingHeader =>
  headerOf({
    channels: withDome ? STONE_AND_DOME : STONE_AND_DOME.slice(0, 1),
    targets: { stone: [band[0], band[1]] },
    origin: 'synthetic, from test/engine-evaluation',
  });

/** Makes a cook of the bank: the truth and what its probes measured. */
export function caseOf({ plan, stone, dome }: CasePlan): Case & { truth: Truth } {
  const { felt, ...truth } = live(plan);
  const lines = channelLines('stone', felt, stone, plan.seed);
  if (dome) lines.push(...channelLines('dome', truth.dome, dome, plan.seed));
  lines.sort((a, b) => a.t - b.t);
  return { truth, header: headOf(plan.person.band, dome !== null), lines };
}

/** The project's own bank, one at a time, so that memory stays small. */
export function* ownCases(): Generator<Case> {
  for (let i = 0; i < BANK_SIZE; i++) yield caseOf(bankCook(i));
}

/** `count` cooks of a half of the varied bank; `looking`: as seen by someone who only looks at the stone. */
export function* variedCases(half: Half, count: number, looking: Looking | null = null): Generator<Case> {
  for (let i = 0; i < count; i++) {
    const bankCase = caseOf(variedCook(half, i));
    yield looking ? lookedAt(bankCase, i, looking) : bankCase;
  }
}

/** Writes each as NAME.jsonl with NAME.truth.json beside it. */
export function writeCases(folder: string, cases: Iterable<Case>): void {
  mkdirSync(folder, { recursive: true });
  for (const { truth, header, lines } of cases) {
    const text = [header, ...lines].map((line) => JSON.stringify(line) + '\n').join('');
    writeFileSync(join(folder, `${truth.name}.jsonl`), text);
    writeFileSync(join(folder, `${truth.name}.truth.json`), JSON.stringify(truth));
  }
}

/** A folder of NAME.jsonl with NAME.truth.json beside each. */
export function* casesOfFolder(folder: string): Generator<Case> {
  const names = readdirSync(folder).filter((name) => name.endsWith('.jsonl'));
  for (const name of names.sort()) {
    const truth = truthFile.parse(
      JSON.parse(readFileSync(join(folder, name.replace('.jsonl', '.truth.json')), 'utf8')),
    );
    const [first = '', ...rest] = readFileSync(join(folder, name), 'utf8').trim().split('\n');
    yield { truth, header: readHeader(first), lines: rest.map(readLine) };
  }
}
