import { describe, expect, it } from 'vitest';
import type { EngineInput, Forecast } from '../../shared/engine.ts';
import { alertsOf, fresh, run } from './evening.ts';

/** What people type who begin to look only once the fire burns: `[s, channel, °C]`. The band of the stone is 255 to 285 °C. */
type Typed = readonly (readonly [t: number, channel: 'stone' | 'dome', celsius: number])[];

function after(typed: Typed, end: number): { forecasts: Forecast[]; alerts: string[]; states: string[] } {
  const looks: EngineInput[] = typed.map(([t, channel, celsius]) => ({
    kind: 'reading',
    quality: 'good',
    t,
    channel,
    celsius,
    isLook: true,
  }));
  const ticks: EngineInput[] = Array.from({ length: end }, (_, i) => ({ kind: 'tick', t: i + 1 }));
  const outputs = run(
    fresh(),
    [...looks, ...ticks].toSorted((a, b) => a.t - b.t),
  );
  return {
    forecasts: outputs.filter((output) => output.type === 'forecast'),
    alerts: alertsOf(outputs),
    states: outputs.flatMap((output) => (output.type === 'state' ? [output.state] : [])),
  };
}

/** Each look is met by what the stone is taken for within half a minute after it, °C. */
function worst(typed: Typed, forecasts: readonly Forecast[]): number {
  const errors = typed
    .filter(([, channel]) => channel === 'stone')
    .map(([t, , celsius]) => {
      const then = forecasts.find((forecast) => forecast.t > t + 5 && forecast.t <= t + 35);
      return Math.abs((then?.stone ?? -1e3) - celsius);
    });
  return Math.max(...errors);
}

const steepest = (forecasts: readonly Forecast[]): number =>
  Math.max(...forecasts.map(({ perMinute }) => Math.abs(perMinute ?? 0)));

describe('given looks at a grill that burned before the cook began', () => {
  const climbing: Typed = [
    [5, 'stone', 244],
    [15, 'dome', 300],
    [55, 'stone', 247],
    [100, 'stone', 250],
  ];

  it('typed stone first and then the dome, the stone is what was read, climbs slowly and is not called too hot', () => {
    const { forecasts, alerts, states } = after(climbing, 160);
    expect(worst(climbing.slice(2), forecasts)).toBeLessThan(5);
    expect(steepest(forecasts)).toBeLessThan(12);
    expect(states).not.toContain('hot');
    expect(alerts).not.toContain('overshot');
  });

  it('typed dome first, the next look at the stone counts', () => {
    const typed: Typed = [
      [5, 'dome', 260],
      [15, 'stone', 200],
      [300, 'stone', 222],
    ];
    const { forecasts } = after(typed, 400);
    expect(worst(typed, forecasts)).toBeLessThan(6);
    expect(steepest(forecasts)).toBeLessThan(12);
  });

  it('first typed ten minutes after the cook began, a hot stone says that the fire is older than the cook', () => {
    const typed: Typed = [
      [600, 'dome', 250],
      [610, 'stone', 240],
      [700, 'stone', 242],
    ];
    const { forecasts } = after(typed, 760);
    expect(worst(typed, forecasts)).toBeLessThan(6);
    expect(steepest(forecasts)).toBeLessThan(12);
  });

  it('a minute after a look in the band, the stone is still known to within 10 °C', () => {
    const { forecasts } = after([...climbing, [160, 'stone', 262]], 225);
    const last = forecasts.at(-1);
    expect(last?.stoneError ?? 99).toBeLessThan(10);
    expect(Math.abs((last?.stone ?? 0) - 262)).toBeLessThan(10);
  });
});

it('given a fire lit as the cook begins, the first look at a stone that lags its dome is believed and climbs', () => {
  const typed: Typed = [
    [600, 'dome', 180],
    [610, 'stone', 90],
    [900, 'stone', 130],
  ];
  const { forecasts } = after(typed, 960);
  expect(worst(typed, forecasts)).toBeLessThan(6);
  expect(forecasts.at(-1)?.perMinute ?? 0).toBeGreaterThan(3);
});
