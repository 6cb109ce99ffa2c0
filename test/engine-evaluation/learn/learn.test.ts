import { expect, test } from 'vitest';
import { grillsOf, learning, learningTable } from './learn.ts';

test('given the dome to come, a cook that an earlier one of its grill taught is asked beside itself alone', () => {
  const grills = grillsOf('tune', 1, 'given').map((cooks) => cooks.slice(0, 2));
  const cooks = [...learning(grills, 'given')];
  expect(cooks.map(({ name }) => name)).toEqual(['tune-grill-1-2']);
  const [cook] = cooks;
  expect(cook?.alone.bandAt.asked).toBe(cook?.taught.bandAt.asked);
  expect(cook?.isAnotherDropped).toBe(null);
  const mean = (errors: readonly number[] = []): number =>
    errors.reduce((sum, e) => sum + e, 0) / errors.length;
  expect(mean(cook?.taught.bandAt.errors)).toBeLessThan(0.75 * mean(cook?.alone.bandAt.errors));
  expect(learningTable(cooks)).toContain("its own 0 of 1, another's 0 of 0");
});
