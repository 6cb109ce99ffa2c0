import { expect, test } from 'vitest';
import { warmUp, type Strategy } from './steer.ts';

const some = (strategy: Strategy) => Array.from({ length: 6 }, (_, i) => warmUp('tune', i + 11, strategy));
const over = (strategy: Strategy): number => some(strategy).filter((result) => result.over > 10).length;

test('given six grills, steered by advice instead of by feel, fewer than half as many overshoot', () => {
  const byFeel = over('by feel');
  expect(byFeel).toBeGreaterThan(3);
  expect(over('advice')).toBeLessThan(byFeel / 2);
});

test('given the same grill and person, steered twice, the warm-up is the same', () => {
  expect(warmUp('tune', 3, 'advice, looks')).toEqual(warmUp('tune', 3, 'advice, looks'));
});
