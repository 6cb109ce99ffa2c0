import { expect, test } from 'vitest';
import { fresh, noticedAt, readings, run, type Corners } from '../evening.ts';

const STONE: Corners = { 0: 230, 600: 200, 640: 198, 1000: 195 };
/** A dome at `celsius` whose lid is up for `open` s. */
const lidUp = (celsius: number, open: number, drop = 60): Corners => ({
  0: celsius,
  600: celsius,
  [600 + Math.min(15, open - 1)]: celsius - 0.9 * drop,
  [600 + open]: celsius - drop,
  [600 + open + Math.round(drop / 1.5)]: celsius - 0.2 * drop,
  1000: celsius,
});
const fuelAt = (stone: Corners, dome: Corners): number[] =>
  noticedAt(run(fresh(), readings(stone, dome)), 'fuel');

test('a lid that is up for long over a fading fire, and no pizza: charcoal, perhaps', () => {
  const [at] = fuelAt(STONE, lidUp(180, 40));
  expect(Math.abs((at ?? 0) - 610)).toBeLessThan(15);
});

test.each([
  ['a look', STONE, lidUp(180, 8, 25)],
  ['a hot dome', STONE, lidUp(300, 40)],
  ['a lid over a stone that climbs', { 0: 150, 600: 200, 1000: 235 }, lidUp(180, 40)],
  ['a pizza', { 0: 230, 600: 200, 612: 199, 618: 160, 1000: 165 }, lidUp(180, 40)],
] as const)('%s is none', (_what, stone, dome) => {
  expect(fuelAt(stone, dome)).toEqual([]);
});

test('a lid over a stone that is only looked at and about right for a pizza is none', () => {
  const found = (celsius: number): number[] => {
    const dome = readings(STONE, lidUp(180, 40)).filter(
      (input) => input.kind === 'reading' && input.channel === 'dome',
    );
    const looks = [200, 400, 590].map((t) => ({
      kind: 'reading' as const,
      quality: 'good' as const,
      t,
      channel: 'stone',
      celsius,
      isLook: true as const,
    }));
    const inputs = [...dome, ...looks].sort((a, b) => a.t - b.t);
    return noticedAt(run(fresh(), inputs), 'fuel');
  };
  expect(found(250)).toEqual([]);
  expect(found(190)).toHaveLength(1);
});
