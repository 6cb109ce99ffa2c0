import { expect, it } from 'vitest';
import { liveScene } from '../../../../../web/stores/derive/curve/curve-scene.ts';
import { emptySeries } from '../../../../../web/stores/derive/curve/series.ts';
import { alert, makeNow, pizza } from '../../../support/now.ts';

const HOUR = 3600;
const NOW = 4 * HOUR;

/** An evening of four hours, a pizza every quarter of an hour, vents set and the lid opened at each. */
function evening(span: 'evening' | 'closer') {
  const launches = Array.from({ length: 16 }, (_, i) => i * 900);
  const pizzas = launches.map((t, i) => pizza(`p${i}`, { launchedAt: t, offAt: t + 430 }));
  const events = launches.flatMap((t, i) => [
    { id: `o${i}`, t, event: 'lid-open', undone: false },
    { id: `c${i}`, t: t + 20, event: 'lid-closed', undone: false },
    { id: `v${i}`, t: t + 60, event: 'vent', undone: false },
  ]);
  const now = makeNow({ t: NOW, pizzas, events, alerts: [alert('stone-ready', { raisedAt: 600 })] });
  return liveScene({ now, series: emptySeries(), estimates: [], unit: 'C', t: NOW, span, width: 900 });
}

it('given four hours and the nearer view, draws the pizzas, marks and lids that can be seen and no others', () => {
  const { bars, glyphs, lids, from } = evening('closer');
  expect(from).toBe(NOW - 15 * 60);
  expect(bars.map((bar) => bar.from)).toEqual([NOW - 900]);
  expect(glyphs.map(({ t, kind }) => [t, kind])).toEqual([[NOW - 840, 'vent']]);
  expect(lids.map((lid) => lid.from)).toEqual([NOW - 900]);
});

it('given four hours and all of the evening, draws every pizza, mark and lid', () => {
  const { bars, glyphs, lids } = evening('evening');
  expect(bars).toHaveLength(16);
  expect(glyphs).toHaveLength(17);
  expect(lids).toHaveLength(16);
});
