import { describe, expect, it } from 'vitest';
import { liveScene, withGaps } from '../../../../web/stores/derive/curve/curve-scene.ts';
import { emptySeries, merge } from '../../../../web/stores/derive/curve/series.ts';
import { orderOf } from '../../../../web/stores/derive/alert-headlines.ts';
import { spoken, viewOf } from '../../../../web/stores/derive/headline-sentence.ts';
import { sentence } from '../../../../web/stores/derive/sentence.ts';
import { alert, channel, makeNow } from '../../support/now.ts';

/** A stone that is only looked at: `error` is one standard error, °C. */
const looked = (estimate: number, error: number, age: number) =>
  channel('stone', estimate, { isEstimate: true, estimate, error, age, source: 'spot' });
const words = (now: ReturnType<typeof makeNow>, t = 3600): string =>
  spoken(sentence(now, 'C', { t, lost: null }));

describe('what is said of a stone that is only looked at', () => {
  it('given an estimate too rough to act on, asks for a look and not for the vents', () => {
    const alerts = [alert('fire-fading')];
    const rough = makeNow({ state: 'falling', channels: [looked(250, 22, 1080)], alerts });
    expect(words(rough)).toBe('Look at the stone, ≈ 250°, looked at 18 min ago');
    expect(words({ ...rough, channels: [looked(250, 4, 1080)] })).toMatch(/^Open the vents/);
    expect(words({ ...rough, channels: [looked(250, 22, 60)] })).toMatch(/^Open the vents/);
  });

  it('given a rough estimate far below the band, waits', () => {
    expect(words(makeNow({ state: 'climbing', forecast: null, channels: [looked(150, 22, 600)] }))).toMatch(
      /^Wait/,
    );
  });

  it('given first looks, of which the model makes nothing yet, asks for another and accuses no probe', () => {
    const first = (celsius: number, age: number) =>
      makeNow({
        state: 'blind',
        forecast: null,
        channels: [channel('stone', celsius, { source: 'spot', age })],
      });
    expect(words(first(120, 240))).toBe('Look at the stone, 120°, looked at 4 min ago');
    expect(words(first(22, 30))).toMatch(/^Light the fire/);
  });

  it('given a pizza that is due, says that first', () => {
    const alerts = [alert('off-due', { urgency: 'urgent', pizza: 'a' })];
    expect(words(makeNow({ state: 'baking', channels: [looked(250, 22, 600)], alerts }))).toMatch(/^Take/);
  });

  it('given a stone that is ready by estimate, asks for one look before the launch', () => {
    expect(words(makeNow({ channels: [looked(270, 4, 200)] }))).toBe(
      'Look, then launch, likely ready: ≈ 270°',
    );
    expect(words(makeNow({ channels: [looked(270, 4, 20)] }))).toBe('Launch, now, the stone is ready');
  });

  it('given a call to look, counts down what it is for, and then says how old the look is', () => {
    const due = alert('look-due', {
      urgency: 'prompt',
      raisedAt: 3500,
      why: { stone: 250, readyInMinutes: 4 },
    });
    const now = makeNow({ state: 'climbing', channels: [looked(250, 4, 600)], alerts: [due] });
    const at = (t: number): string => spoken(orderOf(viewOf(now, 'C', t), due));
    expect(at(3500)).toBe('Look at the stone, ready in about 4 min');
    expect(at(3620)).toBe('Look at the stone, ready in about 2 min');
    expect(at(3900)).toBe('Look at the stone, ≈ 250°, looked at 10 min ago');
  });
});

describe('the curve', () => {
  it('given a gap beside the rows of another channel, is open from the last value to the next', () => {
    // The stone falls silent; the dome goes on.
    expect(withGaps([20, undefined, null, undefined, 30, undefined, 31])).toEqual([
      20,
      null,
      null,
      null,
      30,
      undefined,
      31,
    ]);
    expect(withGaps([20, undefined, 21, null, undefined])).toEqual([20, undefined, 21, null, null]);
  });

  it('given looks and estimates, has each look by itself and the doubt between them', () => {
    const at = (t: number, celsius: number) => ({ channel: 'stone', t, celsius, quality: 'good' }) as const;
    const scene = liveScene({
      now: makeNow({ channels: [looked(240, 3, 100)] }),
      series: merge(emptySeries(90), [at(3000, 200), at(3300, 230)]),
      estimates: [
        [3000, 200, 1],
        [3290, 228, 5],
        [3300, 230, 1],
      ],
      unit: 'C',
      t: 3400,
      span: 'evening',
      width: 900,
    });
    expect(scene.curves[0]?.values.filter((value) => value === null).length).toBeGreaterThan(0);
    expect(scene.estimate?.points.map(({ high, low }) => Math.round(high - low))).toEqual([3, 13, 3]);
  });

  it('given a cook that has only begun, marks no time before it', () => {
    const { cook } = makeNow();
    const { ticks, write } = liveScene({
      now: makeNow({ cook: cook && { ...cook, rehearsal: true } }),
      series: emptySeries(90),
      estimates: [],
      unit: 'C',
      t: 200,
      span: 'closer',
      width: 900,
    });
    expect(ticks.length).toBeGreaterThan(2);
    const marks = ticks.map(write);
    expect(new Set(marks).size).toBe(marks.length);
  });
});
