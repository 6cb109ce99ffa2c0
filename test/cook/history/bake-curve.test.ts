import { describe, expect, it } from 'vitest';
import { bakeCurve, reviewPizza } from '../../../server/cook/history/pizza-review.ts';
import { pizza } from '../../web/support/now.ts';

const curve = Array.from({ length: 2000 }, (_, t) => ({
  t,
  celsius: t < 500 ? 270 : t === 510 ? 210 : 240,
}));
const baked = pizza('a', { launchedAt: 500, offAt: 900 });

describe('the small curve of a bake', () => {
  it('keeps the lowest value, in time order, on few points', () => {
    const points = bakeCurve(baked, curve, Infinity);
    expect(points.length).toBeLessThanOrEqual(80);
    expect(Math.min(...points.map(([, celsius]) => celsius))).toBe(210);
    expect(points.map(([t]) => t)).toEqual(points.map(([t]) => t).sort((a, b) => a - b));
    expect(points[0]?.[0]).toBe(-30);
  });
  it('ends where the next pizza was launched', () => {
    expect(bakeCurve(baked, curve, 1100).at(-1)?.[0]).toBeLessThanOrEqual(600);
  });
  it('of a pizza that was not launched, has nothing', () => {
    expect(bakeCurve(pizza('b', {}), curve, Infinity)).toEqual([]);
  });
});

it('of a pizza that is never taken off a cook of days is reviewed all the same', () => {
  const days = Array.from({ length: 200_000 }, (_, t) => ({ t, celsius: t <= 1000 ? 280 : 240 }));
  const left = pizza('a', { launchedAt: 1000 });
  expect(reviewPizza(left, [], days, [], [255, 285])).toMatchObject({ drawDown: 40, bakeSeconds: null });
});
