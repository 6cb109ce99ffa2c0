import { expect, test } from 'vitest';
import {
  freshResponse,
  offsetOf,
  peakIfShut,
  teachResponse,
} from '../../../server/engine/advice/response.ts';

/** dS/dt = a·(D − S) + c with a dome that comes and goes. */
function taughtBy(a: number, c: number): ReturnType<typeof freshResponse> {
  const response = freshResponse();
  let stone = 60;
  for (let t = 0; t < 5400; t += 10) {
    const dome = 250 + 60 * Math.sin(t / 600);
    const rate = a * (dome - stone) + c;
    teachResponse(response, t, dome - stone, rate);
    stone += rate / 6;
  }
  return response;
}

test('given a stone of known lag and offset, taught for a warm-up, both are found', () => {
  for (const [minutes, offset] of [
    [10, -20],
    [18, 30],
    [35, 60],
  ] as const) {
    const response = taughtBy(1 / minutes, offset / minutes);
    expect(1 / response.a / minutes).toBeGreaterThan(0.85);
    expect(1 / response.a / minutes).toBeLessThan(1.15);
    expect(Math.abs(offsetOf(response) - offset)).toBeLessThan(6);
  }
});

test('given outlying rates, taught, the response stays one of a stone', () => {
  const response = freshResponse();
  for (let t = 0; t < 3600; t += 10) teachResponse(response, t, 5 - (t % 11), t % 20 === 0 ? 900 : -900);
  expect(response.a).toBeGreaterThanOrEqual(1 / 60);
  expect(response.a).toBeLessThanOrEqual(1 / 5);
  expect(Math.abs(offsetOf(response))).toBeLessThanOrEqual(150);
});

test('given a hot dome over a stone, shut now, the stone coasts on, and further under a dome that still climbs', () => {
  const response = taughtBy(1 / 18, 30 / 18);
  const still = peakIfShut(response, { stone: 200, dome: 330, domePerMinute: 0 });
  const climbing = peakIfShut(response, { stone: 200, dome: 330, domePerMinute: 12 });
  expect(still).toBeGreaterThan(240);
  expect(climbing).toBeGreaterThan(still + 5);
});

test('given a stone far over its dome, shut now, it only falls', () => {
  expect(peakIfShut(taughtBy(1 / 18, 0), { stone: 300, dome: 200, domePerMinute: 0 })).toBe(300);
});
