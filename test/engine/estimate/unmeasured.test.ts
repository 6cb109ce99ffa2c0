import { describe, expect, test } from 'vitest';
import { readyChance, type ReadyChance } from '../../../server/engine/estimate/unmeasured.ts';
import { bareHypothesis, type Hypothesis } from '../../../server/engine/heat/hypotheses.ts';
import { even } from '../../../server/engine/heat/heat-history.ts';

/** A stone at `celsius`, known to 2 °C, that moved by `each` °C in each of the last 12 steps of 10 s. */
const stone = (celsius: number, each: number): Hypothesis =>
  bareHypothesis(
    { heat: even(celsius), P: { ss: 4, sb: 3, sd: 0, bb: 4, bd: 0, dd: 1e-6 } },
    Array.from({ length: 12 }, () => each),
  );
const chances = (hypotheses: readonly Hypothesis[], ahead = 0): ReadyChance =>
  readyChance(
    hypotheses,
    [255, 285],
    { within: 6, settled: 2, freed: 3.5, isFreed: () => false },
    { shared: 0, scale: 1, isDial: false },
    ahead,
  );
const chance = (hypotheses: readonly Hypothesis[], ahead = 0): number => chances(hypotheses, ahead).ready;

describe('how probable it is that a stone that nobody measures is ready', () => {
  test('given a steady stone amid its band it is nearly sure; on the edge, or moving by what is allowed, even', () => {
    expect(chance([stone(270, 0)])).toBeGreaterThan(0.98);
    expect(chance([stone(255, 0)])).toBeCloseTo(0.5, 1);
    expect(chance([stone(270, 0.5)])).toBeCloseTo(0.5, 1);
    expect(chance([stone(270, -0.5)])).toBeCloseTo(0.5, 1);
  });

  test('given a stone that moves by what is allowed, it is as settled as not while it climbs, and settled while it falls', () => {
    expect(chances([stone(270, 0.5)]).settled).toBeCloseTo(0.5, 1);
    expect(chances([stone(255, 0.5)]).settled).toBeCloseTo(0.5, 1);
    expect(chances([stone(270, -0.5)]).settled).toBeGreaterThan(0.99);
  });

  test('given a stone that climbs into its band, it is likelier a minute ahead than now', () => {
    const climbing = [stone(254, 0.2)];
    expect(chance(climbing, 60)).toBeGreaterThan(chance(climbing));
  });

  test('given a pizza in some hypotheses, it is ready in the others only', () => {
    const bare = { ...stone(270, 0), probability: 0.7 };
    const covered = { ...stone(270, 0), probability: 0.3, launchedAt: 100 };
    expect(chance([bare, covered])).toBeCloseTo(0.7 * chance([stone(270, 0)]), 6);
  });

  test('given two courses of which one is steady, each counts by itself and not by their mean', () => {
    const up = { ...stone(270, 1), probability: 0.5 };
    const down = { ...stone(270, -1), probability: 0.5 };
    expect(chance([up, down])).toBeLessThan(0.01);
  });
});
