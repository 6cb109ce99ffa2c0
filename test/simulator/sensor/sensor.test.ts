import { standardDeviation } from 'simple-statistics';
import { expect, test } from 'vitest';
import { createRandom } from '../random.ts';
import { GOOD_SENSOR, sample, type Sensor } from './sensor.ts';

const HOUR = 3600;
const flat = (celsius: number, seconds = HOUR): number[] => Array.from({ length: seconds }, () => celsius);
const QUIET: Sensor = { ...GOOD_SENSOR, noise: 0, wander: 0, quantum: 0, jitter: 0, every: 1 };
const read = (truth: number[], sensor: Sensor, seed = 1) => sample(truth, sensor, createRandom(seed));
const values = (samples: readonly { celsius: number | null }[]): number[] =>
  samples.flatMap(({ celsius }) => (celsius === null ? [] : [celsius]));

test('on a ramp a lagging probe reads rate × τ behind', () => {
  // first-order lag behind a ramp (textbook): reads r·τ behind; 6 °C/min and 20 s are 2 °C
  const ramp = Array.from({ length: 600 }, (_, t) => 20 + 0.1 * t);
  const last = read(ramp, { ...QUIET, lag: 20 }).at(-1);
  expect(20 + 0.1 * (last?.t ?? 0) - (last?.celsius ?? 0)).toBeCloseTo(2, 1);
});

test('white noise has the deviation asked for and wandering noise stays within three of its own', () => {
  const white = values(read(flat(250), { ...QUIET, noise: 0.8, every: 0.2 }));
  // 18 000 samples: standard error of the deviation 0.5 %
  expect(Math.abs(standardDeviation(white) - 0.8)).toBeLessThan(0.02);
  const wandering = values(read(flat(250, 40_000), { ...QUIET, wander: 0.5, every: 5 }));
  expect(standardDeviation(wandering)).toBeGreaterThan(0.35);
  expect(standardDeviation(wandering)).toBeLessThan(0.65);
});

test('a coarse display shows multiples of its step', () => {
  const shown = values(read(flat(250.3), { ...QUIET, noise: 2, quantum: 1 }));
  expect(shown.length).toBeGreaterThan(3000);
  expect(shown.every(Number.isInteger)).toBe(true);
});

test.each([0.1, 1, 4, 10])('reports come every %f s, in order, none twice', (every) => {
  const samples = read(flat(250), { ...QUIET, every, jitter: 0.2 });
  expect(Math.abs(samples.length - HOUR / every) / (HOUR / every)).toBeLessThan(0.03);
  expect(samples.findIndex(({ t }, i) => t <= (samples[i - 1]?.t ?? -1))).toBe(-1);
});

test('gaps are silence no longer than they may be', () => {
  const samples = read(flat(250, 20_000), { ...QUIET, gaps: { perHour: 6, longest: 180 } });
  const silences = samples.map(({ t }, i) => t - (samples[i - 1]?.t ?? t));
  expect(Math.max(...silences)).toBeGreaterThan(60);
  expect(Math.max(...silences)).toBeLessThan(180 + 180 + 2); // two may join
});

test('an open circuit reports no value, and a dead probe never one again', () => {
  const samples = read(flat(250), { ...QUIET, faults: { perHour: 5, longest: 60 }, diesAt: 3000 });
  const open = samples.filter(({ celsius }) => celsius === null);
  expect(open.some(({ t }) => t < 3000)).toBe(true);
  expect(open.filter(({ t }) => t >= 3000)).toHaveLength(samples.filter(({ t }) => t >= 3000).length);
});

test('a stuck probe repeats itself while the truth moves', () => {
  const ramp = Array.from({ length: 20_000 }, (_, t) => 20 + 0.02 * t);
  const shown = values(read(ramp, { ...QUIET, stuck: { perHour: 4, longest: 60 } }));
  let longest = 0;
  let run = 0;
  shown.forEach(
    (celsius, i) => (longest = Math.max(longest, (run = celsius === shown[i - 1] ? run + 1 : 0))),
  );
  expect(longest).toBeGreaterThan(10);
  expect(longest).toBeLessThan(125);
});

test('spikes are rare and large', () => {
  const shown = values(read(flat(250, 36_000), { ...QUIET, spikes: { perHour: 6, size: 100 } }));
  const spikes = shown.filter((celsius) => Math.abs(celsius - 250) > 25);
  // Poisson with mean 60: within four deviations
  expect(spikes.length).toBeGreaterThan(29);
  expect(spikes.length).toBeLessThan(91);
  for (const celsius of spikes) expect(Math.abs(celsius - 250)).toBeLessThanOrEqual(100);
});

test('bias and drift add up', () => {
  const last = read(flat(250), { ...QUIET, bias: 2, drift: -1 }).at(-1);
  expect(last?.celsius).toBeCloseTo(251, 1);
});

test('the same seed reports the same', () => {
  const harsh: Sensor = {
    ...GOOD_SENSOR,
    jitter: 0.3,
    spikes: { perHour: 9, size: 80 },
    gaps: { perHour: 3, longest: 99 },
  };
  expect(read(flat(250), harsh, 4)).toEqual(read(flat(250), harsh, 4));
  expect(read(flat(250), harsh, 4)).not.toEqual(read(flat(250), harsh, 5));
});
