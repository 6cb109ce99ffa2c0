import { expect, it } from 'vitest';
import { textInUnit } from '../../shared/text/in-unit.ts';

it.each([
  ['below −60 °C or above 900 °C', 'below -76 °F or above 1652 °F'],
  ['jump: up by 58 °C, faster than anything moves', 'jump: up by 104 °F, faster than anything moves'],
  ['worth ±2.5 °C at 270 °C', 'worth ±4.5 °F at 518 °F'],
  ['pairs of readings from 40 to 210.5 °C', 'pairs of readings from 104 to 410.9 °F'],
  ['1 h on a hot day (above 32 °C, 90 °F)', '1 h on a hot day (above 32 °C, 90 °F)'],
  ['no reading yet', 'no reading yet'],
])('given %j, in °F it is %j, and in °C as it was', (celsius, fahrenheit) => {
  expect(textInUnit(celsius, 'F')).toBe(fahrenheit);
  expect(textInUnit(celsius, 'C')).toBe(celsius);
});
