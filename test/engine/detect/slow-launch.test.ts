import { expect, test } from 'vitest';
import { fresh, readings, run, type Corners } from '../evening.ts';

/** A dome that falls under a lid that is opened at 900 s and shut after 15. */
const DOME: Corners = { 0: 262, 900: 262, 915: 215, 960: 250, 1100: 258, 1300: 260 };

const launchesOf = (stone: Corners): number[] =>
  run(fresh(), readings(stone, DOME)).flatMap((output) =>
    output.type === 'noticed' && output.event === 'launch' ? [output.at] : [],
  );

test('given a probe in the stone that falls slowly and on after the lid, a launch is noticed at the lid', () => {
  const [at, ...others] = launchesOf({ 0: 268, 905: 268, 930: 265, 1010: 248, 1300: 244 });
  expect(Math.abs((at ?? 0) - 906)).toBeLessThan(30);
  expect(others).toEqual([]);
});

test('given a stone that falls under the lid alone and then no more, no launch is noticed', () => {
  expect(launchesOf({ 0: 268, 900: 268, 920: 262, 1000: 263, 1300: 266 })).toEqual([]);
});
