import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { panBy, pinch, timeTicks, within, zoomAbout } from '../../../../../web/stores/derive/curve/zoom.ts';
import { forAll, real } from '../../../../support/property.ts';

const all = { from: 0, to: 10_000 };
const range = fc
  .tuple(real(0, 9900), real(60, 9000))
  .map(([from, length]) => within({ from, to: from + length }, all));

describe('the part that is looked at', () => {
  it('never leaves the cook, whatever is done to it', () => {
    forAll({ seed: 11, numRuns: 300 }, range, real(0.01, 50), real(-3, 3), (r, factor, share) => {
      for (const next of [
        zoomAbout(r, r.from + 10, factor, all),
        panBy(r, share, all),
        pinch([r.from, r.to], [0.3, 0.7], all),
      ]) {
        expect(next.from).toBeGreaterThanOrEqual(-1e-6);
        expect(next.to).toBeLessThanOrEqual(10_000 + 1e-6);
        expect(next.to - next.from).toBeGreaterThanOrEqual(60 - 1e-6);
      }
    });
  });
  it('keeps the time under the pointer where it is', () => {
    const next = zoomAbout({ from: 2000, to: 4000 }, 2500, 0.5, all);
    expect(next).toEqual({ from: 2250, to: 3250 });
  });
  it('keeps both times of a pinch under the fingers', () => {
    const next = pinch([3000, 4000], [0.25, 0.75], all);
    expect(next).toEqual({ from: 2500, to: 4500 });
  });
  it('shows all of a cook that is shorter than a minute', () => {
    expect(within({ from: 10, to: 20 }, { from: 0, to: 30 })).toEqual({ from: 0, to: 30 });
  });
});

it('ticks fall on full minutes of the clock and are never too many', () => {
  const ticks = timeTicks({ from: 0, to: 5400 }, 8, 17 * 60 + 20);
  expect(ticks.length).toBeLessThanOrEqual(8);
  for (const t of ticks) expect((t + 17 * 60 + 20) % 900).toBe(0);
});
