import { expect, test } from 'vitest';
import {
  estimateAt,
  freshFilter,
  PROCESS_NOISE,
  takeReading,
} from '../../../server/engine/estimate/channel-filter.ts';
import { createRandom } from '../../simulator/random.ts';
import { GOOD_SENSOR, sample, type Sensor } from '../../simulator/sensor/sensor.ts';

/** A stone that climbs, settles, and loses heat again: noise-free, a value a second, °C. */
const TRUTH = Array.from({ length: 5400 }, (_, t) => {
  const settled = 20 + 255 * (1 - Math.exp(-t / 1300));
  return t < 3600 ? settled : settled - 0.02 * (t - 3600);
});
/** °C/s by central differences over 20 s. */
const rateAt = (t: number): number =>
  ((TRUTH[Math.min(TRUTH.length - 1, t + 10)] ?? 0) - (TRUTH[t - 10] ?? 0)) / 20;

/** Errors of level and rate beside the standard error that the filter gives itself. */
function misses(sensor: Sensor, seed: number): { level: number[]; rate: number[]; raw: number[] } {
  const filter = freshFilter();
  const found = { level: [] as number[], rate: [] as number[], raw: [] as number[] };
  for (const { t, celsius } of sample(TRUTH, sensor, createRandom(seed))) {
    if (celsius === null) continue;
    takeReading(filter, t, celsius, PROCESS_NOISE.stone);
    const now = estimateAt(filter, t, PROCESS_NOISE.stone);
    const second = Math.round(t);
    if (!now || second < 400 || second > TRUTH.length - 20) continue;
    found.level.push((now.celsius - (TRUTH[second] ?? 0)) / now.error);
    found.rate.push((now.perSecond - rateAt(second)) / now.perSecondError);
    found.raw.push(60 * Math.abs(now.perSecond - rateAt(second)));
  }
  return found;
}
const share = (values: readonly number[], within: number): number =>
  values.filter((value) => Math.abs(value) <= within).length / values.length;

const CLEAN: Sensor = { ...GOOD_SENSOR, lag: 0, wander: 0 };

test.each<[string, Sensor]>([
  ['0.1 Hz', { ...CLEAN, every: 10 }],
  ['1 Hz, 1 °C steps', { ...CLEAN, every: 1, quantum: 1 }],
  ['10 Hz', { ...CLEAN, every: 0.1 }],
  ['spikes and gaps', { ...CLEAN, spikes: { perHour: 12, size: 120 }, gaps: { perHour: 4, longest: 180 } }],
])('%s: the rate is that of the noise-free truth, within an error that is honest', (_what, sensor) => {
  const { level, rate, raw } = misses(sensor, 11);
  // two standard errors of a normal distribution hold 95 %; a good estimate may be more careful, never bolder
  expect(share(rate, 2)).toBeGreaterThan(0.93);
  expect(share(level, 2)).toBeGreaterThan(0.93);
  expect(raw.sort((a, b) => a - b)[Math.floor(raw.length / 2)]).toBeLessThan(0.5);
});
