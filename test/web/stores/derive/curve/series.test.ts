import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { emptySeries, merge, thin, type Point } from '../../../../../web/stores/derive/curve/series.ts';
import { forAll } from '../../../../support/property.ts';

const at = (
  t: number,
  celsius: number | null,
  channel = 'stone',
  quality: Point['quality'] = celsius === null ? 'bad' : 'good',
): Point => ({
  channel,
  t,
  celsius,
  quality,
});

describe('merging', () => {
  it('keeps columns aligned and times ascending, a row a time', () => {
    const series = merge(emptySeries(), [at(0, 20), at(0, 30, 'dome'), at(2, 21), at(3, 31, 'dome')]);
    expect(series.times).toEqual([0, 2, 3]);
    expect(series.good['stone']).toEqual([20, 21, undefined]);
    expect(series.good['dome']).toEqual([30, undefined, 31]);
  });

  it('takes history that comes after live readings, each once', () => {
    const live = merge(emptySeries(), [at(10, 25), at(12, 26)]);
    const both = merge(live, [at(0, 20), at(5, 22), at(10, 25)]);
    expect(both.times).toEqual([0, 5, 10, 12]);
    expect(both.good['stone']).toEqual([20, 22, 25, 26]);
  });

  it('draws a gap where a probe had no value or was silent too long', () => {
    const failed = merge(emptySeries(), [at(0, 20), at(2, null), at(4, 21)]);
    expect(failed.good['stone']).toEqual([20, null, 21]);
    const silent = merge(emptySeries(60), [at(0, 20), at(200, 30)]);
    expect(silent.times).toEqual([0, 100, 200]);
    expect(silent.good['stone']).toEqual([20, null, 30]);
  });

  it('keeps doubtful readings apart from the curve', () => {
    const series = merge(emptySeries(), [at(0, 20), at(1, 400, 'stone', 'uncertain'), at(2, 21)]);
    expect(series.good['stone']).toEqual([20, undefined, 21]);
    expect(series.doubtful['stone']?.[1]).toBe(400);
  });

  it('comes to the same whatever the order of arrival', () => {
    const points = fc.array(
      fc.record({ channel: fc.constantFrom('stone', 'dome'), t: fc.integer({ min: 0, max: 50 }) }),
      { maxLength: 60 },
    );
    forAll({ seed: 7, numRuns: 200 }, points, fc.integer({ min: 0, max: 60 }), (raw, cut) => {
      // One value a channel and time, since a store never has two.
      const all = raw.map(({ channel, t }) => at(t, t * 2 + (channel === 'dome' ? 100 : 0), channel));
      const sorted = all.toSorted((a, b) => a.t - b.t);
      const whole = merge(emptySeries(1000), sorted);
      const parts = merge(merge(emptySeries(1000), all.slice(cut)), all.slice(0, cut));
      expect(parts.times).toEqual(whole.times);
      for (const channel of ['stone', 'dome']) {
        const mine = parts.good[channel] ?? [];
        const theirs = whole.good[channel] ?? [];
        expect(mine.map((c) => c ?? null)).toEqual(theirs.map((c) => c ?? null));
      }
    });
  });
});

describe('bounds', () => {
  const many = Array.from({ length: 9000 }, (_, i) => at(i, i === 1234 ? 500 : 200 + Math.sin(i / 90) * 20));

  it('hold, and the peak stays', () => {
    const series = merge(emptySeries(), many, 6000);
    expect(series.times.length).toBeLessThan(6000);
    expect(Math.max(...(series.good['stone'] ?? []).map((c) => c ?? 0))).toBe(500);
    expect(series.times.at(-1)).toBe(8999);
    expect(series.good['stone']).toHaveLength(series.times.length);
  });

  it('never thin the newest rows', () => {
    const series = thin(merge(emptySeries(), many, Infinity));
    expect(series.times.slice(-2000)).toEqual(many.slice(-2000).map((p) => p.t));
  });

  it('stay under a long evening of live readings', () => {
    let series = emptySeries();
    for (let t = 0; t < 30_000; t++) series = merge(series, [at(t, 200)]);
    expect(series.times.length).toBeLessThanOrEqual(6000);
  });
});
