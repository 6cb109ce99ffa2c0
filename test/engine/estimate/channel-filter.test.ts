import { expect, test } from 'vitest';
import {
  estimateAt,
  freshFilter,
  predict,
  PROCESS_NOISE,
  takeReading,
  update,
  type Track,
} from '../../../server/engine/estimate/channel-filter.ts';
import { createRandom } from '../../simulator/random.ts';

/** One step of the filter with a reading z of variance r. */
function step(track: Track, dt: number, z: number, q: number, r: number): void {
  predict(track, dt, q);
  update(track, z - track.x, track.p11 + r);
}

test('constant velocity, irregular dt: the rows worked by hand', () => {
  const track: Track = { x: 100, v: 0, p11: 1, p12: 0, p22: 100 };
  const rows = [
    [0, 100, 100, 0, 0.5, 0, 100],
    [1, 110, 109.901481, 9.852386, 0.990148, 0.985239, 1.481216],
    [2, 119, 119.138447, 9.510221, 0.816351, 0.45388, 0.369473],
    [4, 133, 134.004373, 8.292092, 0.805312, 0.236122, 0.103098],
  ] as const;
  let last = 0;
  for (const [t, z, x, v, p11, p12, p22] of rows) {
    step(track, t - last, z, 0.01, 1);
    last = t;
    // The table has six decimals.
    expect(track.x).toBeCloseTo(x, 5);
    expect(track.v).toBeCloseTo(v, 5);
    expect(track.p11).toBeCloseTo(p11, 5);
    expect(track.p12).toBeCloseTo(p12, 5);
    expect(track.p22).toBeCloseTo(p22, 5);
  }
});

test('the gain settles where the closed form has it', () => {
  // The steady covariance is a fixed point of predict and update (dt 1, r 1). With S = M11 + r of the predicted M, and
  // gains α = M11/S, β = M12/S, its three entries balance where (textbook, worked from F, Q, H by hand)
  //   β²S = q,   αβS = M22 − q/2,   α²S = 2·M12 − 2αβS + M22 − q + q/3.
  const q = 0.02;
  const track: Track = { x: 0, v: 0, p11: 1, p12: 0, p22: 1 };
  for (let i = 0; i < 2000; i++) step(track, 1, 0, q, 1);
  const m22 = track.p22 + q;
  const m12 = track.p12 + track.p22 + q / 2;
  const m11 = track.p11 + 2 * track.p12 + track.p22 + q / 3;
  const s = m11 + 1;
  const alpha = m11 / s;
  const beta = m12 / s;
  expect(beta ** 2 * s).toBeCloseTo(q, 9);
  expect(alpha * beta * s).toBeCloseTo(m22 - q / 2, 9);
  expect(alpha ** 2 * s).toBeCloseTo(2 * m12 - 2 * alpha * beta * s + m22 - q + q / 3, 9);
});

/** Readings of a ramp with white noise. */
function ramp(perSecond: number, noise: number, every: number, seconds: number, spikeEvery = 0) {
  const random = createRandom(7);
  const filter = freshFilter();
  let n = 0;
  for (let t = 0; t <= seconds; t += every) {
    n += 1;
    const spike = spikeEvery > 0 && n % spikeEvery === 0 ? 120 : 0;
    takeReading(filter, t, 20 + perSecond * t + noise * random.normal() + spike, PROCESS_NOISE.stone);
  }
  return estimateAt(filter, seconds, PROCESS_NOISE.stone);
}

test.each([
  [0.1, 0.3, 1],
  [0.1, 0.3, 0.1],
  [-0.02, 0.7, 2],
  [0.05, 0.5, 10],
])('a ramp of %f °C/s with noise %f every %f s is within four of its own errors', (rate, noise, every) => {
  const found = ramp(rate, noise, every, 900);
  expect(Math.abs((found?.perSecond ?? 9) - rate)).toBeLessThan(4 * (found?.perSecondError ?? 0));
  expect(Math.abs((found?.celsius ?? 0) - (20 + rate * 900))).toBeLessThan(4 * (found?.error ?? 0));
});

test('spikes are left out', () => {
  const found = ramp(0.05, 0.3, 1, 900, 37);
  expect(Math.abs((found?.celsius ?? 0) - 65)).toBeLessThan(1);
});

test('a jump that holds is followed within three readings', () => {
  const filter = freshFilter();
  for (let t = 0; t < 300; t++) takeReading(filter, t, 270 + (t % 2) / 5, PROCESS_NOISE.stone);
  for (let t = 300; t < 303; t++) takeReading(filter, t, 225, PROCESS_NOISE.stone);
  expect(Math.abs((filter.track?.x ?? 0) - 225)).toBeLessThan(1);
});
