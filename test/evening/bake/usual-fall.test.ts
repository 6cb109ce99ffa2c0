import { describe, expect, it } from 'vitest';
import { fallAt, fallen, KNOT_SECONDS, shareOf, usualOf } from '../../../server/evening/bake/usual-fall.ts';

const flat = (share: number | null) => KNOT_SECONDS.map(() => share);

describe('the usual fall of a stone', () => {
  it('given no launch, is not known', () => {
    expect(usualOf([])).toBeNull();
    expect(usualOf([flat(null)])).toBeNull();
  });

  it('given an odd launch among others, is their middle', () => {
    const usual = usualOf([flat(0.1), flat(0.12), flat(0.5)]);
    expect(usual?.launches).toBe(3);
    expect(usual && fallAt(usual, 100)).toBeCloseTo(0.12, 9);
  });

  it('given launches of which the end was not seen, holds the last', () => {
    const usual = usualOf([KNOT_SECONDS.map((t) => (t <= 60 ? 0.2 : null))]);
    expect(usual && fallAt(usual, 1000)).toBeCloseTo(0.2, 9);
    expect(usual && fallAt(usual, 7.5)).toBeCloseTo(0.1, 9);
  });

  it('given another band, falls by the same share of what it stands above the dough', () => {
    expect(fallen(330, shareOf(270, 240))).toBeCloseTo(330 - (30 * 308) / 248, 6);
  });
});
