import { describe, expect, it } from 'vitest';
import { freshWatch, isRelit, watched } from '../../../server/evening/after/relit.ts';

type Point = readonly [stone: number | null, dome: number | null];

/** A reading of each a minute, straight from one point, by its minute, to the next. @returns the minute at which it is seen, or null */
function seenAfter(points: Readonly<Record<number, Point>>): number | null {
  let watch = freshWatch();
  const corners = Object.entries(points).map(([at, [stone, dome]]) => [Number(at), stone, dome] as const);
  for (const [i, [minutes, stone, dome]] of corners.entries()) {
    const [from, stone0, dome0] = corners[i - 1] ?? [0, stone, dome];
    for (let m = from; m <= minutes; m++) {
      const share = minutes === from ? 1 : (m - from) / (minutes - from);
      const at = (a: number | null, b: number | null) =>
        a === null || b === null ? null : a + (b - a) * share;
      for (const [role, celsius] of [
        ['stone', at(stone0, stone)],
        ['dome', at(dome0, dome)],
      ] as const)
        if (celsius !== null) watch = watched(watch, role, m * 60, celsius);
      if (isRelit(watch, m * 60)) return m;
    }
  }
  return null;
}

describe('a grill whose cook was ended', () => {
  it.each([
    ['cools for hours', { 0: [270, 250], 300: [60, 40] }],
    ['is still gaining when its vents are shut', { 0: [240, 300], 20: [275, 330], 120: [150, 130] }],
    [
      'has its lid up to be cleaned, and down again',
      { 0: [270, 250], 60: [200, 160], 64: [170, 60], 80: [175, 150], 300: [60, 50] },
    ],
    [
      'has a dome alone, and its lid is opened and shut',
      { 0: [null, 250], 60: [null, 150], 64: [null, 60], 80: [null, 140] },
    ],
    ['lies cold overnight and the day warms it', { 0: [100, 80], 600: [15, 12], 1000: [30, 32] }],
  ] as const)('is not lit again where it %s', (_name, points) => {
    expect(seenAfter(points)).toBeNull();
  });

  it.each([
    ['from cold', { 0: [270, 250], 600: [20, 18], 640: [60, 260] }, 640],
    ['while warm', { 0: [270, 250], 120: [140, 120], 150: [150, 280] }, 150],
    ['with its stone measured alone', { 0: [270, null], 600: [20, null], 660: [150, null] }, 660],
    ['with its dome measured alone', { 0: [null, 250], 600: [null, 20], 640: [null, 260] }, 640],
  ] as const)('is seen to be lit again %s', (_name, points, by) => {
    const seen = seenAfter(points);
    expect(seen).not.toBeNull();
    expect(seen).toBeLessThan(by);
  });
});
