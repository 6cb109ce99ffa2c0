import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exactMasses, weighable } from '../../../../server/evening/dough/recipe/masses.ts';
import { ballFor } from '../../../../shared/evening/ball.ts';
import { forAll, real } from '../../../support/property.ts';

/** Baker's percentages (common practice), worked by hand, ±0.1 g. */
const ROWS = [
  { pizzas: 3, ballGrams: 270, h: 0.6, s: 0.02, y: 0.004, loss: 0, want: [498.77, 299.26, 9.98, 2.0, 810] },
  {
    pizzas: 4,
    ballGrams: 250,
    h: 0.65,
    s: 0.028,
    y: 0.002,
    loss: 0,
    want: [595.24, 386.9, 16.67, 1.19, 1000],
  },
  {
    pizzas: 6,
    ballGrams: 255,
    h: 0.62,
    s: 0.025,
    y: 0.003,
    loss: 0,
    want: [928.4, 575.61, 23.21, 2.79, 1530],
  },
  {
    pizzas: 6,
    ballGrams: 280,
    h: 0.62,
    s: 0.025,
    y: 0.003,
    loss: 0.02,
    want: [1040.22, 644.94, 26.01, 3.12, 1714.3],
  },
];

describe("masses from baker's percentages", () => {
  it.each(ROWS)(
    '$pizzas × $ballGrams g at $h, $s, $y with a loss of $loss',
    ({ pizzas, ballGrams, h, s, y, loss, want }) => {
      const parts = { hydration: h, salt: s, yeast: y };
      const exact = exactMasses(parts, (pizzas * ballGrams) / (1 - loss));
      for (const got of [exact, weighable(exact)]) {
        const figures = [got.flourGrams, got.waterGrams, got.saltGrams, got.yeastGrams, got.totalGrams];
        figures.forEach((figure, i) => expect(Math.abs(figure - (want[i] ?? 0))).toBeLessThanOrEqual(0.1));
      }
    },
  );

  it('500 flour, 300 water, 10 salt and 2 yeast are 812 g', () => {
    const masses = exactMasses({ hydration: 0.6, salt: 0.02, yeast: 0.004 }, 812);
    const want = { flourGrams: 500, waterGrams: 300, saltGrams: 10, yeastGrams: 2, totalGrams: 812 };
    for (const [name, grams] of Object.entries(want))
      expect(masses[name as keyof typeof want]).toBeCloseTo(grams, 9);
  });

  const parts = fc.record({
    hydration: real(0.4, 1),
    salt: real(0, 0.06),
    yeast: real(0.0001, 0.02),
    oil: real(0, 0.15),
    sugar: real(0, 0.1),
  });

  it('adds up to the hundredth of a gram, and is never far from exact', () => {
    forAll({ seed: 5 }, parts, fc.integer({ min: 1, max: 60 }), (each, pizzas) => {
      const exact = exactMasses(each, pizzas * 255);
      const { totalGrams, ...rest } = weighable(exact);
      const sum = Object.values(rest).reduce((all, grams) => all + Math.round(grams * 100), 0);
      expect(sum).toBe(Math.round(totalGrams * 100));
      expect(Math.abs(rest.flourGrams - exact.flourGrams)).toBeLessThanOrEqual(0.3);
    });
  });

  it.each([
    [28, 230],
    [31, 265],
    [34, 310],
  ])('a pizza of %d cm is a ball of %d g (common practice, no source)', (size, grams) =>
    expect(ballFor(size)).toBe(grams),
  );

  it('a larger pizza never takes a smaller ball', () => {
    for (let size = 15; size < 45; size += 0.25)
      expect(ballFor(size + 0.25)).toBeGreaterThanOrEqual(ballFor(size));
  });
});
