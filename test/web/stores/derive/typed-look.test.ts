import { expect, it } from 'vitest';
import { isDoubtful, setEmissivity } from '../../../../web/stores/derive/typed-look.ts';

it('takes an emissivity as typed, or the usual one', () => {
  expect(setEmissivity('0,9')).toBe(0.9);
  expect(setEmissivity('1')).toBe(1);
  for (const odd of ['', '0', '-1', '95', 'high']) expect(setEmissivity(odd)).toBe(0.95);
});

const STONE = { celsius: 251, error: 6, age: 0 };

it.each([
  ['a first digit mistyped', 451, STONE, true],
  ['another first digit', 151, STONE, true],
  ['a digit left out', 25, STONE, true],
  ['a digit too many', 2511, STONE, true],
  ['a spot beside the middle', 285, STONE, false],
  ['an estimate that doubts itself', 330, { celsius: 250, error: 25, age: 0 }, false],
  [
    'a dial that was read six minutes ago, in a fire that has taken',
    200,
    { celsius: 40, error: 0, age: 360 },
    false,
  ],
  ['a dial that was read just now', 200, { celsius: 40, error: 0, age: 5 }, true],
  ['nothing known, and no grill so hot', 451, null, true],
  ['nothing known, and a hot stone', 320, null, false],
] as const)(
  'given %s, %i °C is asked about only when it is hardly right',
  (_case, read, expected, isAsked) => {
    expect(isDoubtful(read, expected)).toBe(isAsked);
  },
);
