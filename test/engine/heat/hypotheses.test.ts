import { describe, expect, test } from 'vitest';
import { even } from '../../../server/engine/heat/heat-history.ts';
import { ANY_GRILL, parametersOf } from '../../../server/engine/heat/parameters.ts';
import {
  bareHypothesis,
  branch,
  coveredOf,
  freeBelow,
  likeliest,
  likelyStone,
  stepAll,
  weigh,
  type Common,
  type Hypothesis,
  type Odds,
} from '../../../server/engine/heat/hypotheses.ts';

const common: Common = { p: parametersOf(ANY_GRILL.mean), dome: 250, ground: 20, hands: 0 };
const start = (): Hypothesis[] => [
  bareHypothesis(
    { heat: { ...even(270), pizza: 20 }, P: { ss: 4, sb: 3, sd: 0, bb: 4, bd: 0, dd: 1e-6 } },
    [],
  ),
];
const run = (hypotheses: readonly Hypothesis[], seconds: number): void => {
  for (let s = 0; s < seconds; s += 10) stepAll(hypotheses, common);
};
const sum = (hypotheses: readonly Hypothesis[]): number =>
  hypotheses.reduce((all, { probability }) => all + probability, 0);
/** The lid went up, by a share of probability for a pizza. */
const opening = (share: number): Odds => ({ stays: 0, opens: 1 - share, changes: share });
const launched = (share: number): Hypothesis[] =>
  branch(start(), { at: 0, late: 0, of: () => opening(share) }, common);

describe('what may lie on a stone that nobody measures', () => {
  test('given an opening that is a launch three times of four, a pizza lies there as probably, and all sums to 1', () => {
    const hypotheses = launched(0.75);
    expect(coveredOf(hypotheses)).toBeCloseTo(0.75, 6);
    expect(sum(hypotheses)).toBeCloseTo(1, 9);
  });

  test('given a pizza in one of them, its stone is colder after two minutes and less surely known', () => {
    const hypotheses = launched(0.5);
    run(hypotheses, 120);
    const [bare, covered] = [likeliest(hypotheses, false), likeliest(hypotheses, true)];
    expect(covered?.heat.surface).toBeLessThan((bare?.heat.surface ?? 0) - 10);
    expect(covered?.P.ss).toBeGreaterThan((bare?.P.ss ?? Infinity) * 2);
  });

  test('given a pizza in one of them, the stone is taken for what it is if it lies free, unless it hardly can', () => {
    const surface = (share: number): [found: number, bare: number, covered: number] => {
      const hypotheses = launched(share);
      run(hypotheses, 120);
      return [
        likelyStone(hypotheses)?.heat.surface ?? 0,
        likeliest(hypotheses, false)?.heat.surface ?? 0,
        likeliest(hypotheses, true)?.heat.surface ?? 0,
      ];
    };
    for (const share of [0.3, 0.7]) {
      const [found, bare] = surface(share);
      expect(found).toBeCloseTo(bare, 6);
    }
    const [found, , covered] = surface(0.97);
    expect(found).toBeCloseTo(covered, 6);
  });

  test('given free stones of two kinds, the likelier is taken, and its variance reaches to the other', () => {
    let hypotheses = launched(0.7);
    run(hypotheses, 400);
    const off = ({ launchedAt }: Hypothesis): Odds => opening(launchedAt === null ? 0 : 1);
    hypotheses = branch(hypotheses, { at: 400, late: 0, of: off }, common);
    const found = likelyStone(hypotheses);
    const baked = hypotheses.find(({ spells }) => spells.length > 0)?.heat.surface ?? 0;
    const bare = hypotheses.find(({ spells }) => spells.length === 0)?.heat.surface ?? 0;
    expect(found?.heat.surface).toBeCloseTo(baked, 6);
    expect(found?.P.ss).toBeGreaterThan(0.3 * (bare - baked) ** 2);
  });

  test('given a launch assessed 40 s late, the stone is where it would be had it been known at once', () => {
    const atOnce = launched(0.5);
    run(atOnce, 40);
    const late = start();
    run(late, 40);
    const found = branch(late, { at: 0, late: 40, of: () => opening(0.5) }, common);
    const [a, b] = [likeliest(atOnce, true), likeliest(found, true)];
    expect(Math.abs((a?.heat.surface ?? 0) - (b?.heat.surface ?? 99))).toBeLessThan(1.5);
  });

  test.each([
    ['where the bare stone should be', 'bare'],
    ['where a stone is that had a pizza', 'baked'],
  ] as const)('given a look %s, the hypothesis that explains it is taken', (_where, which) => {
    let hypotheses = launched(0.5);
    run(hypotheses, 400);
    hypotheses = branch(
      hypotheses,
      { at: 400, late: 0, of: ({ launchedAt }) => opening(launchedAt === null ? 0 : 1) },
      common,
    );
    run(hypotheses, 60);
    const baked = hypotheses.find(({ spells }) => spells.length > 0);
    const bare = hypotheses.find(({ spells }) => spells.length === 0);
    const look = (which === 'bare' ? bare : baked)?.heat.surface ?? 0;
    expect(weigh(hypotheses, look, 3)?.found.spells).toEqual(which === 'bare' ? [] : [{ from: 0, to: 400 }]);
  });

  test('given a look between both, what says otherwise is given too, with what probability is left to it', () => {
    let hypotheses = launched(0.5);
    run(hypotheses, 400);
    const off = ({ launchedAt }: Hypothesis): Odds => opening(launchedAt === null ? 0 : 1);
    hypotheses = branch(hypotheses, { at: 400, late: 0, of: off }, common);
    const [baked, bare] = [true, false].map(
      (had) => hypotheses.find(({ spells }) => spells.length > 0 === had)?.heat.surface ?? 0,
    );
    const between = weigh(hypotheses, ((baked ?? 0) + (bare ?? 0)) / 2, 100);
    expect(between?.other?.probability).toBeGreaterThan(0.2);
    expect(between?.other?.spells.length).not.toBe(between?.found.spells.length);
    expect(weigh(hypotheses, (bare ?? 0) + 30, 1)?.other).toBeNull();
  });

  test('given an opening that is rather no off, a pizza that stays was turned then, and its launch is not a turn', () => {
    const hypotheses = launched(0.5);
    run(hypotheses, 200);
    const found = branch(hypotheses, { at: 200, late: 0, of: () => opening(0.2) }, common);
    expect(found.find(({ launchedAt }) => launchedAt === 0)?.turnedAt).toBe(200);
    expect(
      found.filter(({ launchedAt }) => launchedAt !== 0).every(({ turnedAt }) => turnedAt === null),
    ).toBe(true);
    expect(launched(0.5).every(({ turnedAt }) => turnedAt === null)).toBe(true);
  });

  test('given a dome that speaks for a lid, hypotheses that expect one gain by it, and lose where it speaks against', () => {
    const due = ({ launchedAt }: Hypothesis, ratio: number): Odds =>
      launchedAt === null
        ? { stays: 0.97, opens: 0.03 * ratio, changes: 0 }
        : { stays: 0.7, opens: 0, changes: 0.3 * ratio };
    const bare = (ratio: number): number => {
      const hypotheses = launched(0.5);
      run(hypotheses, 400);
      const found = branch(
        hypotheses,
        { at: 400, late: 0, of: (hypothesis) => due(hypothesis, ratio) },
        common,
      );
      return (
        likeliest(
          found.filter(({ spells }) => spells.length === 0),
          false,
        )?.probability ?? 0
      );
    };
    expect(bare(1)).toBeCloseTo(0.5, 6);
    expect(bare(20)).toBeLessThan(0.25);
    expect(bare(0.1)).toBeGreaterThan(0.55);
  });

  test('given chances every half a minute for an hour, there are no more than can be followed, and all sums to 1', () => {
    let hypotheses = start();
    for (let t = 0; t < 3600; t += 30) {
      run(hypotheses, 30);
      hypotheses = branch(hypotheses, { at: t, late: 0, of: () => opening(0.06) }, common);
    }
    expect(hypotheses.length).toBeLessThanOrEqual(14);
    expect(sum(hypotheses)).toBeCloseTo(1, 9);
  });

  test('given any limit, free below it is no more probable than free at all, and grows with the limit', () => {
    const hypotheses = launched(0.3);
    run(hypotheses, 60);
    const at = [200, 260, 270, 280, Infinity].map((celsius) => freeBelow(hypotheses, celsius, 1, 1));
    expect([...at].sort((a, b) => a - b)).toEqual(at);
    expect(at.at(-1)).toBeCloseTo(0.7, 6);
  });
});
