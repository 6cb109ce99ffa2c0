import type { RecordingLine } from '../../shared/recording.ts';
import { createRandom } from '../simulator/random.ts';
import type { Truth } from '../simulator/cook.ts';
import type { Case } from './case-bank.ts';

/** How a stone is looked at: each so many seconds on the whole; `dial`: the dome too is only read off its dial. */
export type Looking = { every: number; dial: boolean };

/** An infrared thermometer and the spot it sees, °C to either side; a dial is read to so many °C, so long after the stone, s. */
const OFF = 2;
const MARK = 5;
const AFTER = 8;
const FIRST = 240;

/** The same cook as seen by someone without a probe on the stone, who looks now and then while no pizza lies there. */
export function lookedAt(bankCase: Case & { truth: Truth }, seed: number, { every, dial }: Looking): Case {
  const { truth, header, lines } = bankCase;
  const random = createRandom(seed).fork('looks');
  const looks: RecordingLine[] = [];
  const spot = { source: 'spot' as const, emissivitySet: 0.95, emissivity: 0.95 };
  for (
    let t = FIRST + every * random.between(0, 0.5);
    t + AFTER < truth.duration;
    t += every * random.between(0.7, 1.3)
  ) {
    const second = Math.floor(t);
    if (truth.onStone[second]) continue;
    const celsius = Math.round((truth.stone[second] ?? 0) + random.between(-OFF, OFF));
    looks.push({ t, channel: 'stone', celsius, ...spot });
    if (!dial) continue;
    const read = MARK * Math.round((truth.dome[second + AFTER] ?? 0) / MARK);
    looks.push({ t: t + AFTER, channel: 'dome', celsius: read, ...spot });
  }
  const measured = dial ? [] : lines.filter((line) => 'channel' in line && line.channel === 'dome');
  return { truth, header, lines: [...measured, ...looks].sort((a, b) => a.t - b.t) };
}
