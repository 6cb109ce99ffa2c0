import { describe, expect, it } from 'vitest';
import type { Now } from '../../../../shared/api/live.ts';
import { orderOf } from '../../../../web/stores/derive/alert-headlines.ts';
import { viewOf } from '../../../../web/stores/derive/headline-sentence.ts';
import { sentence } from '../../../../web/stores/derive/sentence.ts';
import { alert, channel, makeNow, pizza } from '../../support/now.ts';

const lidHazard = { text: 'Before the lid: open the vents.', why: 'They were said to be shut.', source: '' };
const looked = channel('stone', 262, { source: 'spot', age: 900 });
const lying = {
  pizzas: [pizza('a', { launchedAt: 3300 })],
  onStone: [{ pizza: 'a', launchedAt: 3300, turnAt: 3500, offAt: 3800 }],
} as Partial<Now>;

const firstOf = (over: Partial<Now>, lost: number | null = null): string =>
  sentence(makeNow({ lidHazard, ...over }), 'C', { t: 3600, lost }).first;

describe('given a fire that may flare, what goes before the lid stands', () => {
  it.each<[string, Partial<Now>]>([
    ['a launch', {}],
    ['a turn', lying],
    ['charcoal', { state: 'falling' }],
    ['a look at the stone', { state: 'blind', channels: [looked, channel('dome', 320)] }],
    ['a look where only the dome is known', { state: 'blind', channels: [channel('dome', 320)] }],
  ])('in the sentence that leads to %s', (_name, over) => expect(firstOf(over)).toBe(lidHazard.text));

  it('in the message that asks for a look', () => {
    const now = makeNow({ lidHazard, alerts: [alert('look-due')] });
    expect(orderOf(viewOf(now, 'C', 3600), alert('look-due')).first).toBe(lidHazard.text);
  });

  it('in the sentence of a page that hears nothing from the server and sends people to the grill', () => {
    expect(firstOf(lying, 30)).toBe(lidHazard.text);
    expect(firstOf({}, 30)).toBe(lidHazard.text);
  });

  it('in none that leaves the lid shut, nor where nothing may flare', () => {
    expect(firstOf({ state: 'soaking' })).toBe('');
    expect(firstOf({ state: 'hot' })).toBe('');
    expect(firstOf({ lidHazard: null })).toBe('');
  });
});
