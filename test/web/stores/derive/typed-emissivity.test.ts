import { expect, it } from 'vitest';
import { setEmissivity } from '../../../../web/stores/derive/typed-emissivity.ts';

it('takes an emissivity as typed, or the usual one', () => {
  expect(setEmissivity('0,9')).toBe(0.9);
  expect(setEmissivity('1')).toBe(1);
  for (const odd of ['', '0', '-1', '95', 'high']) expect(setEmissivity(odd)).toBe(0.95);
});
