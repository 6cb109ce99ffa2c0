import { describe, expect, it } from 'vitest';
import { actionKeys, KEYS } from '../../../../web/stores/derive/action-bar.ts';
import { makeNow, pizza } from '../../support/now.ts';

const lying = { pizza: 'a', launchedAt: 3500, turnAt: 3710, offAt: 3950 };
const baking = (turnedAt: number | null) =>
  makeNow({ pizzas: [pizza('a', { name: 'A', launchedAt: 3500, turnedAt })], onStone: [lying] });

describe('the dock', () => {
  it('given nothing asked, its first key is launch, then turn, then off, then the end of the evening', () => {
    expect(actionKeys(makeNow(), 3600, 'wait').first).toBe('launch');
    expect(actionKeys(baking(null), 3600, 'wait').first).toBe('turn');
    expect(actionKeys(baking(3590), 3600, 'wait').first).toBe('off');
    const over = makeNow({ pizzas: [pizza('a', { name: 'A', launchedAt: 3000, offAt: 3400 })] });
    expect(actionKeys(over, 3600, 'rest').first).toBe('end');
  });

  it.each([
    ['close', 'vents'],
    ['open', 'vents'],
    ['lid', 'lid'],
    ['doubt', 'spot'],
    ['go', 'launch'],
    ['light', 'fire-lit'],
  ] as const)('given a headline that says %s, its first key is %s', (symbol, key) => {
    expect(actionKeys(makeNow(), 3600, symbol).first).toBe(key);
  });

  it('never offers to turn or take off what does not lie there', () => {
    const { first, others } = actionKeys(makeNow(), 3600, 'turn');
    expect([first, ...others]).not.toContain('turn');
    expect([first, ...others]).not.toContain('off');
  });

  it('has each key once: one first, two others, the rest behind', () => {
    for (const now of [makeNow(), baking(null), baking(3590)])
      for (const symbol of ['wait', 'close', 'turn', 'off', 'go', 'doubt'] as const) {
        const { first, others, rest } = actionKeys(now, 3600, symbol);
        expect(others).toHaveLength(2);
        expect([first, ...others, ...rest].sort()).toEqual([...KEYS].sort());
      }
  });
});
