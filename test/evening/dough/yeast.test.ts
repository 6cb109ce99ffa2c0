import { describe, expect, it } from 'vitest';
import {
  convertYeast,
  growth,
  hoursFor,
  ripeHours,
  settlingHours,
  workRate,
  yeastFor,
  type Stay,
} from '../../../server/evening/dough/yeast.ts';

const room = (hours: number, ambientC = 22): Stay[] => [{ hours, ambientC, kilograms: 1 }];

describe('yeast and temperature', () => {
  // Handbook section 10, table of γ.
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

  it('goes over into Q₁₀ at 15 °C without a step, and 10 °C colder is 2 to 2.5 times slower (handbook section 10)', () => {
    expect(workRate(14.9999)).toBeCloseTo(growth(15), 4);
    expect(workRate(15) / workRate(5)).toBeGreaterThanOrEqual(2);
    expect(workRate(15) / workRate(5)).toBeLessThanOrEqual(2.5);
  });

  it('refuses what it does not hold for', () => {
    expect(() => workRate(41)).toThrow('The dough is 41 °C, but this holds from 0 to 40 °C.');
    expect(() => workRate(-3)).toThrow('from 0 to 40 °C');
  });
});

describe('yeast for the time, and time for the yeast', () => {
  // Handbook section 10: 0.4 % for 2.75 h at 22 °C ↔ 0.1375 % for 8 h ↔ 0.046 % for 24 h; at 27 °C 0.308 % by γ.
  it.each([
    [2.75, 22, 0.4],
    [8, 22, 0.1375],
    [24, 22, 0.046],
    [2.75, 27, 0.308],
  ])('%d h at %d °C wants %d %% instant', (hours, celsius, percent) => {
    const fraction = yeastFor(room(hours, celsius), celsius, 'instant');
    expect(fraction * 100).toBeCloseTo(percent, 3);
    expect(hoursFor(fraction, 'instant', (each) => room(each, celsius), celsius)).toBeCloseTo(hours, 1);
  });

  it('a warmer dough or a warmer room wants less', () => {
    expect(yeastFor(room(3, 21), 27, 'instant')).toBeLessThan(yeastFor(room(3, 21), 24, 'instant'));
    expect(yeastFor(room(3, 25), 24, 'instant')).toBeLessThan(yeastFor(room(3, 21), 24, 'instant'));
  });

  it('a cold dough of 72 h wants more than 72 h in the room would, and less than a day in it', () => {
    const cold = yeastFor([...room(2), { hours: 68, ambientC: 4, kilograms: 1 }, ...room(2)], 23, 'instant');
    expect(cold).toBeGreaterThan(0.004 * (2.75 / 72));
    expect(cold).toBeLessThan(0.002); // handbook section 10: 0.02 % (a day or more) to 1 %
    expect(cold).toBeGreaterThan(0.0002);
  });

  it('converts kinds: 1 : 0.4 : 0.33 and instant 1 : active dry 1.25 : fresh 3, to 5 % (handbook section 10)', () => {
    expect(convertYeast(10, 'fresh', 'active-dry')).toBeCloseTo(4, 9);
    expect(convertYeast(10, 'fresh', 'instant')).toBeCloseTo(3.3, 9);
    expect(convertYeast(1, 'instant', 'fresh') / 3).toBeCloseTo(1, 1);
    expect(convertYeast(1, 'instant', 'active-dry') / 1.25).toBeCloseTo(1, 1);
  });

  it('refuses more or less yeast than it holds for', () => {
    expect(() => yeastFor(room(1, 8), 15, 'instant')).toThrow(
      /would want .* % instant yeast, but this holds from 0.01 to 2 %/,
    );
    expect(() => hoursFor(0.05, 'instant', room, 22)).toThrow('take less yeast');
    expect(() => hoursFor(0.00005, 'instant', room, 22)).toThrow('take more yeast');
  });
});

describe('dough taking on a temperature', () => {
  it('settles in about 2 h for 1.5 kg and 1 h for a ball, by its cube root (equation in the docstring)', () => {
    expect(settlingHours(1.5)).toBeGreaterThan(1.5);
    expect(settlingHours(1.5)).toBeLessThan(2.5);
    expect(settlingHours(8) / settlingHours(1)).toBeCloseTo(2, 9);
  });

  it('counts the hours that it stays warm in a fridge', () => {
    const fridge: Stay[] = [{ hours: 12, ambientC: 4, kilograms: 1.5 }];
    expect(ripeHours(fridge, 25)).toBeGreaterThan(1.5 * ripeHours(fridge, 4));
  });

  it('agrees with a fine sum over the same cooling, to 0.1 %', () => {
    const tau = settlingHours(1.5);
    let sum = 0;
    for (let i = 0; i < 20_000; i++)
      sum += workRate(20 + 10 * Math.exp(-((i + 0.5) * 0.0003) / tau)) * 0.0003;
    const got = ripeHours([{ hours: 6, ambientC: 20, kilograms: 1.5 }], 30);
    expect(got / (sum / workRate(22))).toBeCloseTo(1, 3);
  });
});
