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

test('given answers of which one is far off and one is missing, each counts as no more than 5 min in the bounded mean', () => {
  const none = { asked: 0, errors: [] };
  const cook = {
    name: 'made up',
    alone: { bandAt: { asked: 4, errors: [60, 100, 1500] }, readyAt: none },
    taught: { bandAt: { asked: 4, errors: [60, 100, 200, 240] }, readyAt: none },
    isDropped: false,
    isAnotherDropped: null,
  };
  const row = learningTable([cook])
    .split('\n')
    .find((line) => line.includes('enters its band: error mean, no answer'));
  // (60 + 100 + 300 + 300)/4, (60 + 100 + 200 + 240)/4, and 150/190
  expect(row?.match(/[\d.]+/g)?.slice(-3)).toEqual(['190', '150', '0.79']);
});
