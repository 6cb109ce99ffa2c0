import { afterEach, expect, it } from 'vitest';
import { asked } from '../../../web/stores/act/ask.ts';
import { endEvening } from '../../../web/stores/end-evening.ts';
import { now } from '../../../web/stores/live.ts';
import { makeNow, pizza } from '../support/now.ts';

afterEach(() => {
  now.value = null;
  asked.value = null;
});

const textAt = (live: Parameters<typeof makeNow>[0]): string | undefined => {
  now.value = makeNow(live);
  endEvening();
  return asked.value?.text;
};

it('given open vents, the end of the evening has the stone looked at before the vents are shut', () => {
  expect(textAt({})).toBe('See that the stone is empty, then shut both vents.');
  expect(textAt({ pizzas: [pizza('a')] })).toBe(
    'A pizza waits still. See that the stone is empty, then shut both vents.',
  );
});

it('given vents that are low, it says what goes before the lid', () => {
  const lidHazard = { text: 'Before the lid: open the vents.', why: '', source: '' };
  expect(textAt({ lidHazard })).toBe(
    'Before the lid: open the vents. See that the stone is empty, then shut both vents.',
  );
});

it('given vents that are shut after the last pizza, it leads nobody to the lid', () => {
  expect(textAt({ isOver: true })).toBe('Both vents shut, lid down?');
});
