import { describe, expect, it } from 'vitest';
import type { CookDetail, CookMark } from '../../../../shared/api/api.ts';
import { laneItemAt } from '../../../../web/lib/plot/plot-lanes.ts';
import { emptySeries, merge } from '../../../../web/stores/derive/curve/series.ts';
import { lanesOf } from '../../../../web/stores/study/lanes.ts';
import { mark } from '../../support/now.ts';

type Cook = Pick<CookDetail, 'run' | 'marks' | 'seconds' | 'channels'>;
const cook = (roles: readonly ('stone' | 'dome')[], marks: CookMark[] = []): Cook => ({
  run: [],
  marks,
  seconds: 3600,
  channels: roles.map((role) => ({ id: role, role, name: role })),
});
const curve = (channel: string, from: number, to: number, every: number) =>
  Array.from({ length: Math.floor((to - from) / every) + 1 }, (_, i) => ({
    channel,
    t: from + i * every,
    celsius: 250,
    quality: 'good' as const,
  }));
const series = (...points: ReturnType<typeof curve>[]) =>
  merge(
    emptySeries(),
    points.flat().sort((a, b) => a.t - b.t),
    Infinity,
  );
const lid = (of: Cook, whole: ReturnType<typeof series>) =>
  lanesOf(of, whole)
    .find(({ label }) => label === 'Lid')
    ?.items.map(({ from, to, isUnknown = false }) => [from, to, isUnknown]);

describe('the lane of the lid', () => {
  it('given a dome that is measured all along, is open where that was seen and else shut', () => {
    const opened = [mark(1000, 'lid-open'), mark(1060, 'lid-closed')];
    const whole = series(curve('stone', 0, 3600, 9), curve('dome', 0, 3600, 9));
    expect(lid(cook(['stone', 'dome'], opened), whole)).toEqual([[1000, 1060, false]]);
    expect(lid(cook(['stone', 'dome']), whole)).toBeUndefined();
  });

  it('given no probe of the dome, is unknown but for what was said', () => {
    const opened = [mark(1000, 'lid-open'), mark(1060, 'lid-closed')];
    expect(lid(cook(['stone'], opened), series(curve('stone', 0, 3600, 9)))).toEqual([
      [0, 1000, true],
      [1000, 1060, false],
      [1060, 3600, true],
    ]);
  });

  it('given openings that nothing saw shut again, is open for a moment and then unknown', () => {
    const opened = [mark(1000, 'lid-open'), mark(1004, 'lid-open'), mark(2000, 'lid-open')];
    expect(lid(cook(['stone'], opened), series(curve('stone', 0, 3600, 9)))).toEqual([
      [0, 1000, true],
      [1000, 1020, false],
      [1020, 2000, true],
      [2000, 2020, false],
      [2020, 3600, true],
    ]);
  });

  it('given a dome that is measured, a lid that is not closed stays open', () => {
    const whole = series(curve('stone', 0, 3600, 9), curve('dome', 0, 3600, 9));
    expect(lid(cook(['stone', 'dome'], [mark(3000, 'lid-open')]), whole)).toEqual([[3000, 3600, false]]);
  });

  it('given a dome that was silent for a while, is unknown then', () => {
    const whole = series(curve('stone', 0, 3600, 9), curve('dome', 0, 900, 9), curve('dome', 1800, 3600, 9));
    expect(lid(cook(['stone', 'dome']), whole)).toEqual([[900, 1800, true]]);
  });

  it('given a dial that was looked at now and then, is unknown', () => {
    const whole = series(curve('stone', 0, 3600, 9), curve('dome', 0, 3600, 300));
    expect(lid(cook(['stone', 'dome']), whole)?.every(([, , isUnknown]) => isUnknown)).toBe(true);
  });

  it('given curves that have not come yet, claims nothing', () =>
    expect(lid(cook(['stone']), emptySeries())).toBeUndefined());

  it('given a tap on what is unknown, points at nothing there', () => {
    const lanes = lanesOf(cook(['stone']), series(curve('stone', 0, 3600, 9)));
    const area = { left: 0, width: 800, lanes: 0 };
    expect(laneItemAt(lanes, { from: 0, to: 3600 }, area, 400, 10)).toBeNull();
  });
});
