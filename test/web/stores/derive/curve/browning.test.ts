import { expect, it } from 'vitest';
import { browningOf } from '../../../../../web/stores/derive/curve/browning.ts';
import { figureOf } from '../../../../../web/stores/derive/curve/figure.ts';
import { pizza } from '../../../support/now.ts';

it('a pizza that waits has no brown, and browns by its share of the bake until it is off', () => {
  expect(browningOf(pizza('a'), 3600)).toBeNull();
  const baking = pizza('a', { launchedAt: 3600, offAfter: 400 });
  expect([3600, 3800, 4000].map((t) => browningOf(baking, t))).toEqual([0, 0.5, 1]);
  expect(browningOf({ ...baking, offAt: 3900 }, 9000)).toBe(0.75);
});

it('a pizza that was judged shows its verdict instead', () => {
  const off = pizza('a', { launchedAt: 3600, offAt: 4000, offAfter: 400 });
  expect(browningOf({ ...off, base: 'pale', top: 'pale' }, 5000)).toBeLessThan(1);
  expect(browningOf({ ...off, base: 'right', top: 'right' }, 5000)).toBe(1);
  expect(browningOf({ ...off, base: 'scorched', top: 'right' }, 5000)).toBeGreaterThan(1);
});

it.each([
  ['The stone ran 25° over its band before the first pizza.', '25°'],
  ['The stone ran 45 °F over its band.', '45 °F'],
  ['On 3 of 5 pizzas the base ran ahead of the top.', '3 of 5'],
  ['The stone took 9 min to recover.', '9 min'],
  ['They came off 40 s after it, and 2 of 5 pizzas scorched all over.', '40 s'],
  ['It stood open for 95 s a pizza.', '95 s'],
  ['Nothing to count.', ''],
])('the figure of “%s” is “%s”', (sentence, figure) => {
  expect(figureOf(sentence)).toBe(figure);
});
