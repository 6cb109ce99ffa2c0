import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { StoneAhead } from '../../../shared/engine.ts';
import { bestRun, ownBand, reason, runIn, type Wish } from '../../../server/evening/run/proposed-order.ts';

const wish = (id: string, base: number, over: Partial<Wish> = {}): Wish => ({
  id,
  eater: id,
  taste: { base, crust: 0, wetness: 0 },
  seconds: 420,
  ...over,
});
const band = [255, 285] as const;

/**
 * A stone of one time constant, 600 s, that heads for `heads` °C and loses a tenth of what it is over 100 °C to each pizza:
 * the wait for `x` °C is 600·ln((heads − s)/(heads − x)).
 */
function lump(s: number, heads: number, t = 0): StoneAhead {
  return {
    t,
    next({ band: [low, high], seconds }) {
      const to = s < low ? low : s > high ? high : s;
      const isReached = to === s || (to - s) * (heads - to) > 0;
      const wait = isReached ? 600 * Math.log((heads - s) / (heads - to) || 1) : 0;
      const stone = isReached ? to : s;
      const launchAt = t + wait;
      const offAt = launchAt + seconds;
      const miss = Math.max(0, low - stone, stone - high);
      return { launchAt, offAt, stone, miss, rest: lump(stone - (stone - 100) / 10, heads, offAt) };
    },
  };
}

function* permutations<T>(all: readonly T[]): Generator<T[]> {
  if (all.length === 0) yield [];
  for (const [i, each] of all.entries())
    for (const rest of permutations([...all.slice(0, i), ...all.slice(i + 1)])) yield [each, ...rest];
}

const idsOf = ({ launches }: ReturnType<typeof bestRun>): string[] =>
  launches.map((launch) => launch.wish.id);

describe('the order of a run', () => {
  it('given a hot stone that only cools, takes the well done ones first', () => {
    expect(idsOf(bestRun([wish('pale', -2), wish('done', 2)], lump(284, 260), band))).toEqual([
      'done',
      'pale',
    ]);
  });

  it.each([1, 5, 7, 200])(
    'given 200 pizzas for %d eaters, goes through few launches and has each once',
    (eaters) => {
      let launches = 0;
      const counted = (stone: StoneAhead): StoneAhead => ({
        t: stone.t,
        next(bake) {
          launches += 1;
          const { rest, ...launch } = stone.next(bake);
          return { ...launch, rest: counted(rest) };
        },
      });
      const wishes = Array.from({ length: 200 }, (_, i) =>
        wish(String(i), ((i * 7) % 5) - 2, { eater: String(i % eaters), seconds: 300 + 10 * (i % 9) }),
      );
      const run = bestRun(wishes, counted(lump(260, 290)), band);
      expect(new Set(idsOf(run)).size).toBe(200);
      expect(launches).toBeLessThan(6000);
    },
  );

  it('given equal tastes, leaves them in the order they were given', () => {
    const wishes = ['x', 'y', 'z'].map((id) => wish(id, 0));
    expect(idsOf(bestRun(wishes, lump(260, 290), band))).toEqual(['x', 'y', 'z']);
  });

  it('given eaters with two, gives everybody a first pizza before anybody a second', () => {
    const wishes = [
      wish('1', -2, { eater: 'ann' }),
      wish('2', -2, { eater: 'ann' }),
      wish('3', 2, { eater: 'bo' }),
      wish('4', 1, { eater: 'cy' }),
    ];
    expect(idsOf(bestRun(wishes, lump(258, 300), band)).at(-1)).toBe('2');
    const had = [wish('1', -2, { eater: 'ann', had: 1 }), wish('3', 2, { eater: 'bo' })];
    expect(idsOf(bestRun(had, lump(258, 300), band))).toEqual(['3', '1']);
  });

  it('given one that hands have begun on, leaves it first', () => {
    const wishes = [wish('pale', -2), wish('done', 2, { isBegun: true })];
    expect(idsOf(bestRun(wishes, lump(256, 300), band))[0]).toBe('done');
  });

  it('given up to five pizzas, costs no more than any other order (all of them tried)', () => {
    const bases = fc.array(fc.integer({ min: -2, max: 2 }), { minLength: 1, maxLength: 5 });
    const celsius = fc.double({ min: 240, max: 300, noNaN: true });
    fc.assert(
      fc.property(bases, celsius, celsius, (each, from, heads) => {
        const wishes = each.map((base, i) => wish(String(i), base, { seconds: 400 + 10 * base }));
        const stone = lump(from, heads);
        const least = Math.min(...[...permutations(wishes)].map((order) => runIn(order, stone, band).cost));
        // A second for each pizza is nothing to change an order for.
        expect(bestRun(wishes, stone, band).cost).toBeLessThanOrEqual(least + each.length);
      }),
      { seed: 11, numRuns: 60 },
    );
  });

  it('given more than are all tried, costs no more than the order given', () => {
    const wishes = Array.from({ length: 10 }, (_, i) => wish(String(i), (i % 5) - 2));
    const stone = lump(258, 300);
    expect(bestRun(wishes, stone, band).cost).toBeLessThanOrEqual(runIn(wishes, stone, band).cost);
  });

  it('given a taste, its own part of the band is within it: all of it in the middle, a half at the ends', () => {
    const own = (base: number, crust = 0) => ownBand({ base, crust, wetness: 0 }, band);
    expect(own(0)).toEqual([255, 285]);
    expect(own(-2, -2)).toEqual([255, 270]);
    expect(own(2, 2)).toEqual([270, 285]);
  });

  it('says why', () => {
    const launch = { wish: wish('p', -2, { eater: 'Ann' }), launchAt: 0, offAt: 420, stone: 258 };
    expect(reason(launch, band, 'C')).toBe(
      'Ann likes it pale; the stone will be low in its band, about 258 °C.',
    );
  });
});
