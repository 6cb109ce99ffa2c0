import { describe, expect, it } from 'vitest';
import { ventsCallOf, waitsOf } from '../../../server/evening/after/cook-times.ts';
import type { EngineOutput } from '../../../shared/engine.ts';
import type { StoneState } from '../../../shared/words.ts';

const state = (t: number, name: StoneState): EngineOutput => ({ t, type: 'state', state: name, why: {} });
const call = (t: number, again?: number): EngineOutput => ({
  t,
  type: 'alert',
  alert: 'overshoot-ahead',
  message: '',
  urgency: 'act',
  why: {},
  ...(again && { again }),
});
const vent = (t: number, note: string) => ({ t, event: { event: 'vent' as const, note } });

describe('what a cook waited', () => {
  const records = [
    state(900, 'ready'),
    state(1000, 'baking'),
    state(1400, 'recovering'),
    state(1600, 'ready'),
    state(1900, 'baking'),
    state(2300, 'recovering'),
    state(2400, 'baking'),
  ];
  const pizzas = [
    { launchedAt: 1000, offAt: 1400 },
    { launchedAt: 1900, offAt: 2300 },
    { launchedAt: 2400, offAt: null },
  ] as const;

  it('given launches on a ready stone, is from ready to launch, and from off to ready', () => {
    expect(waitsOf(pizzas[0], pizzas, records)).toEqual({ waitedSeconds: 100, readyAgainSeconds: 200 });
    expect(waitsOf(pizzas[1], pizzas, records)).toEqual({ waitedSeconds: 300, readyAgainSeconds: null });
  });

  it('given a launch before the stone was ready again, is not known', () => {
    expect(waitsOf(pizzas[2], pizzas, records)).toEqual({ waitedSeconds: null, readyAgainSeconds: null });
  });

  it('given two pizzas on the stone at once, is not known of the second', () => {
    const both = [
      { launchedAt: 1000, offAt: 1800 },
      { launchedAt: 1700, offAt: 2200 },
    ] as const;
    expect(waitsOf(both[1], both, records).waitedSeconds).toBeNull();
    expect(waitsOf(both[0], both, records).readyAgainSeconds).toBeNull();
  });
});

describe('the call to close the vents', () => {
  it('given vents that were closed after it, tells both times; opening them is no closing', () => {
    const events = [vent(1100, 'half'), vent(1300, 'both wide open'), vent(1500, 'a slit')];
    expect(ventsCallOf([call(1200), call(1350, 1)], events, 2000)).toEqual({
      calledAt: 1200,
      closedAt: 1500,
    });
  });
  it('given a dome that showed it sooner, takes that', () => {
    const seen: EngineOutput = { t: 1500, type: 'noticed', event: 'vent', at: 1400, confidence: 1, why: {} };
    expect(ventsCallOf([call(1200), seen], [vent(1500, 'shut')], 2000)?.closedAt).toBe(1400);
  });
  it('given nobody who closed them, has no time of it', () =>
    expect(ventsCallOf([call(1200)], [], 2000)).toEqual({ calledAt: 1200, closedAt: null }));
  it('given a call after the peak alone, is none', () =>
    expect(ventsCallOf([call(2200)], [], 2000)).toBeNull());
});
