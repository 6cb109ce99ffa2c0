import { expect, it } from 'vitest';
import { openCaution } from '../../../../web/view/notes/open-caution.ts';

const [lid, grease, smoke] = [{ id: 'lid-hot-starved' }, { id: 'grease' }, { id: 'smoke' }];

it('given a caution opened by hand, it stays open until a more dangerous one comes', () => {
  const choice = { id: 'smoke', insteadOf: 'grease' };
  expect(openCaution([grease, smoke], choice, false)).toBe(smoke);
  expect(openCaution([lid, grease, smoke], choice, false)).toBe(lid);
});

it('given none opened by hand, the most dangerous is open, unless the headline has it already', () => {
  expect(openCaution([lid, grease], null, false)).toBe(lid);
  expect(openCaution([lid, grease], null, true)).toBeUndefined();
  expect(openCaution([], null, false)).toBeUndefined();
});
