import { describe, expect, it } from 'vitest';
import { trends, type Season } from '../../../server/evening/after/season-trend.ts';

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
