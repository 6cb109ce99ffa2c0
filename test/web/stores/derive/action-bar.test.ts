import { describe, expect, it } from 'vitest';
import { actionKeys, KEYS } from '../../../../web/stores/derive/action-bar.ts';
import type { Tone } from '../../../../shared/alert/headline-parts.ts';
import { headlineOf, type Sentence } from '../../../../web/stores/derive/headline-sentence.ts';
import { makeNow, pizza } from '../../support/now.ts';

const says = (symbol: Sentence['symbol'], tone: Tone = 'calm'): Sentence =>
  headlineOf(tone, symbol, { head: 'Do it' });
const lying = { pizza: 'a', launchedAt: 3500, turnAt: 3710, offAt: 3950 };
const baking = (turnedAt: number | null) =>
  makeNow({ pizzas: [pizza('a', { name: 'A', launchedAt: 3500, turnedAt })], onStone: [lying] });

describe('the action bar', () => {
  it('given nothing asked, its first key is launch, then turn, then off, then the end of the evening', () => {
    expect(actionKeys(makeNow(), 3600, says('wait')).first).toBe('launch');
    expect(actionKeys(baking(null), 3600, says('wait')).first).toBe('turn');
    expect(actionKeys(baking(3590), 3600, says('wait')).first).toBe('off');
    const over = makeNow({ pizzas: [pizza('a', { name: 'A', launchedAt: 3000, offAt: 3400 })] });
    expect(actionKeys(over, 3600, says('rest')).first).toBe('end');
  });

  it.each([
    ['close', 'vents'],
    ['open', 'vents'],
    ['lid', 'lid'],
    ['doubt', 'spot'],
    ['go', 'launch'],
    ['light', 'fire-lit'],
  ] as const)('given a headline that says %s, its first key is %s', (symbol, key) => {
    expect(actionKeys(makeNow(), 3600, says(symbol)).first).toBe(key);
  });

  it('never offers to turn or take off what does not lie there', () => {
    const { first, others } = actionKeys(makeNow(), 3600, says('turn'));
    expect([first, ...others]).not.toContain('turn');
    expect([first, ...others]).not.toContain('off');
  });

  it('has each key once: one first, two others, the rest behind', () => {
    for (const now of [makeNow(), baking(null), baking(3590)])
      for (const symbol of ['wait', 'close', 'turn', 'off', 'go', 'doubt'] as const) {
        const { first, others, rest } = actionKeys(now, 3600, says(symbol));
        expect(others).toHaveLength(2);
        expect([first, ...others, ...rest].sort()).toEqual([...KEYS].sort());
      }
  });

  it.each([
    ['a launch to wait for', makeNow(), says('wait'), false],
    ['a stone that is ready', makeNow(), says('go', 'go'), true],
    ['a turn to come', baking(null), says('turn'), false],
    ['a turn that is due', baking(null), says('turn', 'act'), true],
    ['an off that is late', baking(3590), says('off', 'urgent'), true],
    ['vents to close', makeNow(), says('close', 'act'), true],
    ['a fire to light', makeNow(), says('light'), true],
    ['a silent server', baking(null), says('lost', 'lost'), false],
  ] as const)(
    'given %s, its first key looks like what is to be done only if it is',
    (_, now, asks, isDue) => {
      expect(actionKeys(now, 3600, asks).isDue).toBe(isDue);
    },
  );

  it('given an evening that is over, its end looks like what is to be done once the vents are shut', () => {
    const over = (isOver: boolean) =>
      makeNow({ pizzas: [pizza('a', { launchedAt: 3000, offAt: 3400 })], isOver });
    expect(actionKeys(over(false), 3600, says('rest')).isDue).toBe(false);
    expect(actionKeys(over(true), 3600, says('rest')).isDue).toBe(true);
  });
});
