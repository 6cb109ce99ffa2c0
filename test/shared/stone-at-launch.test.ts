import { describe, expect, it } from 'vitest';
import { stoneAtLaunch } from '../../shared/cook/stone-at-launch.ts';
import type { EngineOutput } from '../../shared/engine.ts';

const baking = (t: number, stone: number): EngineOutput => ({
  t,
  type: 'state',
  state: 'baking',
  why: { stone, perMinute: 1 },
});
const seen = (at: number, before: number): EngineOutput => ({
  t: at + 30,
  type: 'noticed',
  event: 'launch',
  at,
  confidence: 0.9,
  why: { fall: 30, before },
});
/** Rises by 1.2 °C/min, and falls by 2 °C/s from 6 s before the tap at 1000 s. */
const readings = Array.from({ length: 60 }, (_, i) => {
  const t = 900 + 2 * i;
  return { t, celsius: 270 + (t - 900) / 50 - 2 * Math.max(0, t - 994) };
});

describe('the stone at a launch', () => {
  it('given a launch that was tapped, is what the engine took the stone to have, not the fallen reading', () =>
    expect(stoneAtLaunch(1000, [baking(100, 250), baking(1000.4, 271.9)], readings)).toBe(271.9));

  it('given a launch that was seen on the curve and tapped later, is what the stone had before its fall', () =>
    expect(stoneAtLaunch(1012, [seen(995, 272.1), baking(1025, 231)], readings)).toBe(272.1));

  it('given two launches that were seen, takes the nearer', () =>
    expect(stoneAtLaunch(1000, [seen(930, 260), seen(1010, 272)], [])).toBe(272));

  it('given nothing on record, is the median of the minute before, without its last seconds', () => {
    expect(stoneAtLaunch(1000, [], readings)).toBeCloseTo(271.4, 1);
    expect(stoneAtLaunch(1000, [baking(500, 240)], readings)).toBeCloseTo(271.4, 1);
  });

  it('given nothing read either, is not known', () => {
    expect(stoneAtLaunch(1000, [], [])).toBeNull();
    expect(stoneAtLaunch(5000, [], readings)).toBeNull();
  });
});
