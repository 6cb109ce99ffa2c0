import { describe, expect, it } from 'vitest';
import { glyphs, lidSpans, nowBars } from '../../../../../web/stores/derive/curve/marks.ts';
import { forecast, makeNow, pizza } from '../../../support/now.ts';

describe('marks on the line', () => {
  it('pair lid openings, the last one open until now, undone ones never', () => {
    const events = [
      { t: 10, name: 'lid-open' },
      { t: 15, name: 'lid-open', undone: true },
      { t: 40, name: 'lid-closed' },
      { t: 90, name: 'lid-open' },
    ];
    expect(lidSpans(events, 120)).toEqual([
      { from: 10, to: 40 },
      { from: 90, to: 120 },
    ]);
  });
  it('show only what stands', () => {
    const events = [
      { t: 1, name: 'vent' },
      { t: 2, name: 'fuel', undone: true },
      { t: 3, name: 'acknowledge' },
    ];
    expect(glyphs(events)).toEqual([{ t: 1, kind: 'vent' }]);
  });
  it('lay pizzas where they were, are and will be', () => {
    const pizzas = [
      pizza('a', { name: 'A', launchedAt: 3000, offAt: 3440 }),
      pizza('b', { name: 'B', launchedAt: 3500 }),
      pizza('c', { name: 'C' }),
    ];
    const bars = nowBars(makeNow({ pizzas, forecast: forecast({ readyAt: 4200 }) }), 3600);
    expect(bars.map(({ name, kind, from }) => [name, kind, from])).toEqual([
      ['A', 'baked', 3000],
      ['B', 'baking', 3500],
      ['C', 'planned', 4200],
    ]);
  });
});
