import type { RecordingLine } from '../../shared/recording.ts';
import { createRandom, type Random } from '../simulator/random.ts';
import type { Truth } from '../simulator/cook.ts';
import type { Case } from './case-bank.ts';

/**
 * How a stone is looked at: each so many seconds on the whole; `dial`: the dome too is only read off its dial; `answers`: also
 * when the engine asks for a look.
 */
export type Looking = { every: number; dial: boolean; answers?: boolean };

/** An infrared thermometer and the spot it sees, °C to either side; a dial is read to so many °C, so long after the stone, s. */
const OFF = 2;
const MARK = 5;
const AFTER = 8;
const FIRST = 240;

const SPOT = { source: 'spot', emissivitySet: 0.95, emissivity: 0.95 } as const;

/** What is read at `t`: nothing while a pizza lies there. */
function readAt({ stone, dome, onStone }: Truth, t: number, dial: boolean, random: Random): RecordingLine[] {
  const second = Math.floor(t);
  if (onStone[second] || second + AFTER >= stone.length) return [];
  const celsius = Math.round((stone[second] ?? 0) + random.between(-OFF, OFF));
  const looks: RecordingLine[] = [{ t, channel: 'stone', celsius, ...SPOT }];
  const read = MARK * Math.round((dome[second + AFTER] ?? 0) / MARK);
  if (dial) looks.push({ t: t + AFTER, channel: 'dome', celsius: read, ...SPOT });
  return looks;
}

/** Whoever is asked for a look takes so long to come, s. */
const COMES = [20, 90] as const;

/** The same cook as seen by someone without a probe on the stone, who looks now and then while no pizza lies there. */
export function lookedAt(
  bankCase: Case & { truth: Truth },
  seed: number,
  { every, dial, answers = false }: Looking,
): Case {
  const { truth, header, lines } = bankCase;
  const random = createRandom(seed).fork('looks');
  const looks: RecordingLine[] = [];
  for (
    let t = FIRST + every * random.between(0, 0.5);
    t + AFTER < truth.duration;
    t += every * random.between(0.7, 1.3)
  )
    looks.push(...readAt(truth, t, dial, random));
  const measured = dial ? [] : lines.filter((line) => 'channel' in line && line.channel === 'dome');
  const seen = { truth, header, lines: [...measured, ...looks].sort((a, b) => a.t - b.t) };
  if (!answers) return seen;
  const asked = createRandom(seed).fork('answers');
  return { ...seen, answer: (t) => readAt(truth, t + asked.between(...COMES), dial, asked) };
}
