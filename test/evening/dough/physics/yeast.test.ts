import { describe, expect, it } from 'vitest';
import {
  convertYeast,
  fractionFor,
  growth,
  ripenessOf,
  workFor,
  workRate,
} from '../../../../server/evening/dough/physics/yeast.ts';
import { forAll, real } from '../../../support/property.ts';

describe('yeast and temperature', () => {
  // Rosso et al. 1993 with the cardinal temperatures of Salvadó et al. 2011, computed by hand.
  it.each([
    [10, 0.1352],
    [18, 0.4949],
    [20, 0.5965],
    [24, 0.7878],
    [27, 0.9043],
    [30, 0.9802],
    [32.3, 1.0],
    [35, 0.9682],
    [40, 0.7016],
    [45, 0.0701],
  ])('growth at %d °C is %d', (celsius, want) => expect(growth(celsius)).toBeCloseTo(want, 4));

  it('is nothing outside of its cardinal temperatures', () => {
    expect([growth(2.8), growth(0), growth(45.4), growth(60)]).toEqual([0, 0, 0, 0]);
  });

  it('goes over into Q₁₀ at 15 °C without a step, and a fridge slows it no less than bakers reckon', () => {
    expect(workRate(14.9999)).toBeCloseTo(growth(15), 4);
    // Q₁₀ 2 to 2.5 from 5 to 30 °C: common practice, no source; colder it is steeper
    expect(workRate(25) / workRate(15)).toBeGreaterThan(2);
    expect(workRate(25) / workRate(15)).toBeLessThan(2.5);
    expect(workRate(15) / workRate(5)).toBeGreaterThanOrEqual(2.5);
  });

  it('never falls as it gets warmer', () => {
    forAll({ seed: 3 }, real(-5, 50), real(0, 20), (T, more) => {
      expect(workRate(T + more)).toBeGreaterThanOrEqual(workRate(T));
    });
  });

  it('converts kinds: 1 : 0.4 : 0.33 and instant 1 : active dry 1.25 : fresh 3, to 5 % (common practice)', () => {
    expect(convertYeast(10, 'fresh', 'active-dry')).toBeCloseTo(4, 9);
    expect(convertYeast(10, 'fresh', 'instant')).toBeCloseTo(3.3, 9);
    expect(convertYeast(1, 'instant', 'fresh') / 3).toBeCloseTo(1, 1);
    expect(convertYeast(1, 'instant', 'active-dry') / 1.25).toBeCloseTo(1, 1);
  });
});

describe('yeast and time', () => {
  it('given yeast for a time, that time gives it back, and is ripe', () => {
    for (const work of [1, 4, 7, 30]) {
      expect(workFor(fractionFor(work, 800), 800)).toBeCloseTo(work, 9);
      expect(ripenessOf(fractionFor(work, 800), work, 800)).toBeCloseTo(1, 9);
    }
  });

  // Inverse proportion is the bakers' first guess (common practice, no source, to ±30 %).
  it.each([
    [4, 8, 2],
    [4, 12, 3],
    [8, 24, 3],
  ])('%d h against %d h takes %d times the yeast, to 30 %%', (short, long, times) => {
    const ratio = fractionFor(short) / fractionFor(long);
    expect(ratio / times).toBeGreaterThan(0.7);
    expect(ratio / times).toBeLessThan(1.3);
  });

  it('at 2000 m wants a fifth less: the standard atmosphere there is 794.95 hPa (ISO 2533)', () => {
    expect(fractionFor(6, 2000) / fractionFor(6)).toBeCloseTo(794.95 / 1013.25, 3);
    expect(workFor(0.001, 2000)).toBeLessThan(workFor(0.001));
  });
});
