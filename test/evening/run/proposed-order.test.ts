import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  placeWanted,
  proposeOrder,
  reason,
  stonesAhead,
  type Wish,
} from '../../../server/evening/run/proposed-order.ts';
import { forAll, real } from '../../support/property.ts';

const wish = (id: string, base: number, eater = id): Wish => ({
  id,
  eater,
  taste: { base, crust: 0, wetness: 0 },
});
const band = [255, 285] as const;
const miss = (order: readonly Wish[], stones: readonly number[]): number =>
  order.reduce((sum, { taste }, i) => sum + (placeWanted(taste) - ((stones[i] ?? 0) - 255) / 30) ** 2, 0);

function* permutations<T>(all: readonly T[]): Generator<T[]> {
  if (all.length === 0) yield [];
  for (const [i, each] of all.entries())
    for (const rest of permutations([...all.slice(0, i), ...all.slice(i + 1)])) yield [each, ...rest];
}

describe('the order of a run', () => {
  it('gives the pale ones the stone while it is low, the crisp ones when it is high', () => {
    const rising = [258, 264, 272, 280];
    const order = proposeOrder([wish('done', 2), wish('pale', -2), wish('a', 1), wish('b', 0)], rising);
    expect(order.map(({ id }) => id)).toEqual(['pale', 'b', 'a', 'done']);
    const falling = [...rising].reverse();
    expect(proposeOrder(order, falling).map(({ id }) => id)).toEqual(['done', 'a', 'b', 'pale']);
  });

  it('keeps equal tastes in the order they were given', () => {
    const wishes = ['x', 'y', 'z'].map((id) => wish(id, 0));
    expect(proposeOrder(wishes, [260, 260, 260])).toEqual(wishes);
  });

  it('gives everybody a first pizza before anybody a second', () => {
    const wishes = [wish('1', -2, 'ann'), wish('2', -2, 'ann'), wish('3', 2, 'bo'), wish('4', 1, 'cy')];
    const order = proposeOrder(wishes, [258, 262, 270, 280]);
    expect(
      order
        .slice(0, 3)
        .map(({ eater }) => eater)
        .sort(),
    ).toEqual(['ann', 'bo', 'cy']);
  });

  it('misses what is wanted by no more than any other order would (all of them tried)', () => {
    const bases = fc.array(fc.integer({ min: -2, max: 2 }), { minLength: 1, maxLength: 5 });
    forAll({ seed: 11 }, bases, fc.array(real(255, 285), { minLength: 5, maxLength: 5 }), (each, stones) => {
      const wishes = each.map((base, i) => wish(String(i), base));
      const places = stones.slice(0, each.length);
      const best = Math.min(...[...permutations(wishes)].map((order) => miss(order, places)));
      expect(miss(proposeOrder(wishes, places), places)).toBeCloseTo(best, 9);
    });
  });

  it('places the run by bake and recovery, and reads the stone off the forecast', () => {
    const curve = [
      { t: 0, celsius: 250 },
      { t: 1000, celsius: 280 },
    ];
    const rhythm = { readyAt: 500, bakeSeconds: 450, recoverySeconds: 250 };
    // Each pizza leaves the stone 2 °C short.
    expect(stonesAhead(3, rhythm, curve, band)).toEqual([265, 278, 276]);
    expect(stonesAhead(1, rhythm, [], band)).toEqual([270]);
  });

  it('says why', () => {
    expect(reason(wish('p', -2, 'Ann'), 258, band, 'C')).toBe(
      'Ann likes it pale; the stone will be low in its band, about 258 °C.',
    );
  });
});
