import { linearRegression } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { fitLine, trends, type Season } from '../../../server/evening/after/season-trend.ts';

describe('least squares', () => {
  // Least squares, worked by hand.
  it('t 0…4 min, y 20 29 41 50 60: slope 10.1, intercept 19.8, error 0.2516611', () => {
    const line = fitLine([20, 29, 41, 50, 60].map((y, t) => [t, y] as const));
    expect(line?.slope).toBeCloseTo(10.1, 9);
    expect(line?.intercept).toBeCloseTo(19.8, 9);
    expect(line?.slopeError).toBeCloseTo(0.2516611, 6);
  });

  const uneven = [
    [0, 200],
    [5, 202.4],
    [12, 206.1],
    [20, 209.8],
    [33, 216.7],
  ] as const;
  it('uneven times: slope 0.5048673, error 0.00642398, and the same with t near 1.75e12', () => {
    expect(fitLine(uneven)?.slope).toBeCloseTo(0.5048673, 6);
    expect(fitLine(uneven)?.slopeError).toBeCloseTo(0.00642398, 6);
    expect(fitLine(uneven.map(([t, y]) => [1.75e12 + t, y] as const))?.slope).toBeCloseTo(0.5048673, 6);
  });

  it('agrees with simple-statistics', () => {
    expect(fitLine(uneven)?.slope).toBeCloseTo(linearRegression(uneven.map(([t, y]) => [t, y])).m, 9);
  });

  it('says nothing where nothing can be said', () => {
    expect(fitLine([])).toBeNull();
    expect(
      fitLine([
        [1, 2],
        [1, 3],
      ]),
    ).toBeNull();
    expect(
      fitLine([
        [1, 2],
        [2, 3],
      ]),
    ).toMatchObject({ slope: 1, slopeError: null });
  });
});

const cook = (label: string, some: Partial<Season> = {}): Season => ({
  label,
  leadMinutes: null,
  recoverySeconds: null,
  charcoalGrams: null,
  overshootC: null,
  rightShare: null,
  ...some,
});

describe('trends over the season', () => {
  it('says what moves by more than chance', () => {
    const cooks = [300, 322, 338, 361, 379].map((recoverySeconds, i) => cook(String(i), { recoverySeconds }));
    expect(trends(cooks)).toHaveLength(1);
    expect(trends(cooks)[0]?.words).toBe('The stone takes longer to recover: 19.7 s a cook over 5 cooks.');
  });

  it('keeps quiet about noise, and about three cooks', () => {
    const noise = [60, 75, 58, 71, 62].map((leadMinutes, i) => cook(String(i), { leadMinutes }));
    expect(trends(noise)[0]?.words).toBeNull();
    const three = [60, 70, 80.1].map((leadMinutes, i) => cook(String(i), { leadMinutes }));
    expect(trends(three)[0]?.words).toBeNull();
  });

  it('four cooks are few: what passes 2 errors but not the 4.303 of two degrees of freedom is not said', () => {
    const four = [60, 64, 62, 68].map((leadMinutes, i) => cook(String(i), { leadMinutes }));
    const [lead] = trends(four);
    const ratio = (lead?.perCook ?? 0) / (lead?.error ?? 1);
    expect(ratio).toBeGreaterThan(2);
    expect(ratio).toBeLessThan(4.303);
    expect(lead?.words).toBeNull();
  });

  it('says an overshoot in °F for who chose it, as a difference', () => {
    const cooks = [10, 20.1, 29.9, 40, 50].map((overshootC, i) => cook(String(i), { overshootC }));
    expect(trends(cooks)[0]?.words).toBe('The stone overshoots more: 10 °C a cook over 5 cooks.');
    expect(trends(cooks, 'F')[0]?.words).toBe('The stone overshoots more: 18 °F a cook over 5 cooks.');
  });

  it('keeps the place of a cook without the figure', () => {
    const cooks = [
      cook('a', { rightShare: 0.2 }),
      cook('b'),
      cook('c', { rightShare: 0.4 }),
      cook('d', { rightShare: 0.5 }),
      cook('e', { rightShare: 0.61 }),
    ];
    const [right] = trends(cooks);
    expect(right?.points.map(({ label }) => label)).toEqual(['a', 'c', 'd', 'e']);
    expect(right?.perCook).toBeCloseTo(0.1, 1);
    expect(right?.words).toMatch(/^More pizzas come out right: 10(\.\d)? % a cook over 4 cooks\.$/);
  });
});
