import { expect, it } from 'vitest';
import { whyOf } from '../../../web/lib/why-words.ts';

// Definition of the units: a temperature shifts by 32 °F, a difference and a rate do not.
it('writes temperatures, differences and rates in the unit of the person', () => {
  expect(whyOf('stone', 270, 'C')).toEqual(['stone', '270 °C']);
  expect(whyOf('stone', 270, 'F')).toEqual(['stone', '518 °F']);
  expect(whyOf('over', 5, 'F')[1]).toMatch(/^\+?9/);
  expect(whyOf('perMinute', 5, 'F')[1]).toMatch(/9/);
});

it('shows what it does not know plainly', () => {
  expect(whyOf('someCount', 2.4159, 'F')).toEqual(['some count', '2.4']);
  expect(whyOf('onForText', '3:30', 'C')).toEqual(['on for text', '3:30']);
});
