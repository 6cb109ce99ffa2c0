import { describe, expect, test } from 'vitest';
import { lidEvidence, usualAfter, type LidEvidence } from '../../../server/engine/detect/lid-evidence.ts';
import { addToBins, freshBins } from '../../../server/engine/estimate/reading-bins.ts';
import { createRandom } from '../../simulator/random.ts';

/** A dome each 2 s for 300 s, by a probe of `lag` s that errs by 0.3 °C, without spread of its own. */
function judged(
  lag: number,
  dome: (t: number) => number,
  { until = 300, usual = null }: { until?: number; usual?: number | null } = {},
): LidEvidence {
  const random = createRandom(7);
  const bins = freshBins();
  let shown = dome(0);
  for (let t = 0; t < until; t += 2) {
    shown += (dome(t) - shown) * (1 - Math.exp(-2 / lag));
    addToBins(bins, t, shown + random.between(-0.5, 0.5));
  }
  return lidEvidence(bins, 135, 165, usual);
}

/** The lid is up from 150 s to 165 s: the dome falls by `depth`, °C, and comes back in minutes. */
const underLid =
  (depth: number) =>
  (t: number): number => {
    if (t < 150) return 250;
    return t < 165 ? 250 - (depth * (t - 150)) / 15 : 250 - depth * Math.exp((165 - t) / 120);
  };

describe('what the dome says of a lid that went up', () => {
  test.each([
    [4, 8],
    [20, 12],
    [60, 25],
    [110, 40],
  ])(
    'given a lid and a probe that lags by %d s, a dip of %d °C speaks for it, at about its time',
    (lag, depth) => {
      const { at, ratio } = judged(lag, underLid(depth));
      expect(ratio).toBeGreaterThan(20);
      expect(Math.abs(at - 150)).toBeLessThanOrEqual(12);
    },
  );

  test('given a dome that climbs or falls evenly, or rests, it speaks against a lid', () => {
    for (const perSecond of [-0.1, 0, 0.2])
      expect(judged(20, (t) => 250 + perSecond * t).ratio).toBeLessThan(0.5);
  });

  test('given a lid beside that time, it speaks against one within it', () => {
    expect(judged(20, (t) => underLid(20)(t - 40)).ratio).toBeLessThan(0.5);
    expect(judged(20, (t) => underLid(20)(t + 40)).ratio).toBeLessThan(0.5);
  });

  test('given a dip as deep as those of the lids before, it speaks for a lid; given one far less deep, against', () => {
    expect(judged(20, underLid(8), { usual: 8 }).ratio).toBeGreaterThan(judged(20, underLid(8)).ratio / 2);
    expect(judged(20, underLid(3), { usual: 30 }).ratio).toBeLessThan(0.5);
    expect(judged(20, underLid(3)).ratio).toBeGreaterThan(0.5);
  });

  test('given lids, the usual dip lies between theirs; given what is hardly one, it stays', () => {
    const first = usualAfter(null, { at: 0, ratio: 100, celsius: 20 }, false);
    expect(first).toBe(20);
    const next = usualAfter(first, { at: 300, ratio: 1, celsius: 40 }, true) ?? 0;
    expect(next).toBeGreaterThan(20);
    expect(next).toBeLessThan(40);
    expect(usualAfter(next, { at: 600, ratio: 5, celsius: 3 }, false)).toBe(next);
  });

  test('given no reading since, it says nothing', () => {
    expect(judged(20, underLid(20), { until: 160 }).ratio).toBe(1);
  });
});
