import { mean, standardDeviation } from 'simple-statistics';
import { expect, test } from 'vitest';
import { createRandom } from './random.ts';

const draw = (seed: number, count: number): number[] => {
  const random = createRandom(seed);
  return Array.from({ length: count }, () => random.next());
};

test('a seed gives the same numbers again and another seed others', () => {
  expect(draw(7, 50)).toEqual(draw(7, 50));
  expect(draw(7, 50)).not.toEqual(draw(8, 50));
});

test('given a fork of a generator, its numbers do not depend on how many its parent has drawn', () => {
  const used = createRandom(3);
  used.next();
  expect(used.fork('wind').next()).toBe(createRandom(3).fork('wind').next());
  expect(used.fork('wind').next()).not.toBe(used.fork('person').next());
});

test('uniform numbers have mean 1/2 and variance 1/12', () => {
  const numbers = draw(11, 40_000);
  // standard error of the mean: 0.2887/√40000 = 0.0014
  expect(Math.abs(mean(numbers) - 0.5)).toBeLessThan(0.006);
  expect(Math.abs(standardDeviation(numbers) ** 2 - 1 / 12)).toBeLessThan(0.002);
});

test('normal deviates have mean 0, variance 1 and a normal tail', () => {
  const random = createRandom(5);
  const numbers = Array.from({ length: 40_000 }, () => random.normal());
  expect(Math.abs(mean(numbers))).toBeLessThan(0.02);
  expect(Math.abs(standardDeviation(numbers) - 1)).toBeLessThan(0.02);
  // P(|z| > 1.959964) = 0.05, any table of the normal distribution
  const tail = numbers.filter((z) => Math.abs(z) > 1.959964).length / numbers.length;
  expect(Math.abs(tail - 0.05)).toBeLessThan(0.005);
});
