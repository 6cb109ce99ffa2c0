import { describe, expect, it } from 'vitest';
import type { CookDetail } from '../../../../shared/api/api.ts';
import {
  bandsOf,
  compareScene,
  differenceOf,
  seasonScene,
  writeMinutes,
} from '../../../../web/stores/study/compare-scene.ts';
import { comparedValue } from '../../../../web/stores/overlay.ts';

const cook = (id: number) => ({ id, targets: { stone: [255, 285] } }) as unknown as CookDetail;
const placed = [
  {
    cook: cook(1),
    stone: [
      [-60, 200],
      [0, 255],
      [60, 270],
    ] as [number, number][],
  },
  {
    cook: cook(2),
    stone: [
      [-30, 240],
      [0, 255],
    ] as [number, number][],
  },
];

describe('cooks over each other', () => {
  it('have one column each over all their times, told apart by letter and dash', () => {
    const scene = compareScene(placed, 'C', { from: -60, to: 60 }, 900);
    expect(scene.times).toEqual([-60, -30, 0, 60]);
    expect(scene.curves.map(({ name, values }) => [name, values])).toEqual([
      ['A', [200, undefined, 255, 270]],
      ['B', [undefined, 240, 255, undefined]],
    ]);
    expect(scene.curves[1]?.dash).not.toEqual(scene.curves[0]?.dash);
    expect([scene.low, scene.high, scene.band]).toEqual([200, 270, [255, 285]]);
  });
  it('given bands of their own, show each: the first as the stripe, the others by their letters', () => {
    const [first, second] = placed;
    if (!first || !second) throw new Error('two cooks are needed');
    const steel = { ...second, cook: { ...second.cook, targets: { stone: [200, 232] } } } as typeof second;
    expect(bandsOf([first, steel, second], 'C')).toEqual([
      { name: 'A, C band', band: [255, 285], place: 0 },
      { name: 'B band', band: [200, 232], place: 1 },
    ]);
    expect(bandsOf([first, steel], 'F')[1]?.band).toEqual([392, 449.6]);
    const scene = compareScene([first, steel], 'C', { from: -60, to: 60 }, 900);
    expect([scene.band, scene.bandName]).toEqual([[255, 285], 'A band']);
    expect(compareScene(placed, 'C', { from: -60, to: 60 }, 900).bandName).toBe('band');
  });
  it('are read off between their points, and not beyond their ends', () => {
    expect(comparedValue(placed[0]?.stone ?? [], 30)).toBeCloseTo(262.5, 6);
    expect(comparedValue(placed[1]?.stone ?? [], 30)).toBeNull();
    expect(comparedValue(placed[1]?.stone ?? [], -40)).toBeNull();
  });
  it('differ in the person’s unit, without a shift by 32', () => {
    expect(differenceOf(260, 250, 'F')).toBe('+18°');
    expect(differenceOf(250, 260, 'C')).toBe('−10°');
    expect(differenceOf(null, 260, 'C')).toBe('');
  });
  it.each([
    [0, '0'],
    [-1800, '−30'],
    [75, '+1:15'],
  ])('write %d s as %s', (t, text) => expect(writeMinutes(t)).toBe(text));
});

it('a figure of the season has each cook’s name under its dot', () => {
  const points = ['May', 'June', 'July'].map((label, i) => ({ label, value: 10 * i }));
  const scene = seasonScene(points, ' min', 600);
  expect(scene.ticks.map((t) => scene.write(t))).toEqual(['May', 'June', 'July']);
  expect(scene.curves[0]?.doubtful).toEqual([0, 10, 20]);
  expect(scene.unit).toBe(' min');
  // On a phone two dates do not stand on each other.
  expect(seasonScene(points, ' min', 300).ticks).toEqual([0, 2]);
});
