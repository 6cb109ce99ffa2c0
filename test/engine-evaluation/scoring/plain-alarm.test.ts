import { expect, test } from 'vitest';
import { plainAlarm } from './plain-alarm.ts';

/** A reading every 10 s. */
const every10 = (...celsius: number[]) => celsius.map((value, i) => ({ t: 10 * i, celsius: value }));
const alerts = (readings: ReturnType<typeof every10>): [number, string][] =>
  plainAlarm(readings, [250, 280]).flatMap((line) =>
    line.type === 'alert' ? [[line.t, line.alert] as [number, string]] : [],
  );

test('it says each crossing of a threshold, every time', () => {
  expect(alerts(every10(240, 251, 249, 250, 281, 270))).toEqual([
    [10, 'stone-ready'],
    [30, 'stone-ready'],
    [40, 'overshot'],
    [50, 'stone-ready'],
  ]);
});

test('its ruler needs more than a minute of readings and looks five minutes ahead', () => {
  // 1 °C in 10 s: 30 °C in 5 min
  const climb = every10(...Array.from({ length: 9 }, (_, i) => 246 + i));
  expect(alerts(climb).find(([, name]) => name === 'overshoot-ahead')).toEqual([70, 'overshoot-ahead']);
});

test('its forecast lays the ruler to the bottom of the band', () => {
  const readings = every10(...Array.from({ length: 13 }, (_, i) => 200 + i));
  const last = plainAlarm(readings, [250, 280]).findLast((line) => line.type === 'forecast');
  // 0.1 °C/s; 30 s is the step between forecasts, so the last is at 120 s with 212 °C
  expect(last).toMatchObject({ t: 120, readyAt: 120 + 380 });
});
