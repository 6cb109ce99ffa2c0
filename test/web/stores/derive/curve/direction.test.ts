import { describe, expect, it } from 'vitest';
import { trendOf, type Trend } from '../../../../../web/stores/derive/curve/direction.ts';

const follow = (rates: readonly number[]): Trend[] => {
  let trend: Trend | null = null;
  return rates.map((rate) => (trend = trendOf(rate, trend)));
};
const changes = (trends: readonly Trend[]): number =>
  trends.filter((trend, i) => i > 0 && trend !== trends[i - 1]).length;

describe('the trend', () => {
  it.each([
    [-5, 'falling fast'],
    [-1, 'falling'],
    [0, 'steady'],
    [0.6, 'rising'],
    [4.5, 'rising fast'],
  ] as const)('given %d °C/min and nothing before, is %s', (rate, trend) => {
    expect(trendOf(rate, null)).toBe(trend);
  });

  it('given a rate that wavers about a limit, changes no word', () => {
    for (const limit of [-4, -0.5, 0.5, 4]) {
      const wavers = Array.from({ length: 60 }, (_, i) => limit * (1 + 0.4 * Math.sin(i)));
      expect(changes(follow(wavers)), `about ${limit} °C/min`).toBe(0);
    }
  });

  it('given a rate that truly turns, follows it there and back', () => {
    expect(follow([0, 0.7, 0.8, 0.3, 0.2, -0.8, -7, -3, 0, 7])).toEqual([
      'steady',
      'steady',
      'rising',
      'rising',
      'steady',
      'falling',
      'falling fast',
      'falling fast',
      'steady',
      'rising fast',
    ]);
  });
});
