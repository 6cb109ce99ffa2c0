import { describe, expect, it } from 'vitest';
import { ntc, ntcCelsius, ntcOhm, ofBeta, throughPoints } from '../../server/conversion/ntc.ts';

/** A widely quoted 10 kΩ example (recalled); the results were computed apart from this code. */
const A = { a: 1.129148e-3, b: 2.34125e-4, c: 8.76741e-8 };
const POINTS = [
  { celsius: 25, ohm: 100_000 },
  { celsius: 100, ohm: 6_000 },
  { celsius: 200, ohm: 500 },
] as const;

describe('Steinhart–Hart', () => {
  it.each([
    [32_650, 0],
    [10_000, 25],
    [3_603, 49.986],
    [1_000, 87.168],
    [680, 99.921],
  ])('set A: %f Ω → %f °C', (ohm, celsius) => {
    expect(Math.abs((ntcCelsius(A, ohm) ?? 0) - celsius)).toBeLessThanOrEqual(0.01);
  });
  it.each([
    [0, 32_650.4],
    [25, 9_999.9],
    [100, 678.4],
    [200, 65.17],
  ])('set A: %f °C → %f Ω', (celsius, ohm) => {
    expect(Math.abs(ntcOhm(A, celsius) - ohm)).toBeLessThanOrEqual(0.1);
  });
});

describe('beta', () => {
  const B = ofBeta(3950, 100_000, 25);
  it.each([
    [0, 336_206],
    [25, 100_000],
    [100, 6_975.2],
    [200, 744.61],
    [250, 335.28],
    [300, 173.52],
  ])('%f °C → %f Ω', (celsius, ohm) => {
    expect(ntcOhm(B, celsius) / ohm).toBeCloseTo(1, 4);
  });
  it.each([
    [10_000, 87.72],
    [1_000, 183.857],
    [300, 257.82],
  ])('%f Ω → %f °C', (ohm, celsius) => {
    const found = ntc.prepare({ model: 'beta', beta: 3950, r0: 100_000 })(ohm, null).celsius;
    expect(Math.abs((found ?? 0) - celsius)).toBeLessThanOrEqual(0.01);
  });
});

describe('a fit through three points', () => {
  const fit = throughPoints(...POINTS);
  const convert = ntc.prepare({ model: 'points', points: POINTS });

  it('finds the coefficients', () => {
    expect(fit.a).toBeCloseTo(7.642370105e-4, 12);
    expect(fit.b).toBeCloseTo(2.138891074e-4, 12);
    expect(fit.c).toBeCloseTo(8.341371386e-8, 16);
  });
  it('goes through its points', () => {
    for (const { celsius, ohm } of POINTS)
      expect(convert(ohm, null)).toEqual({ celsius: expect.closeTo(celsius, 6) });
  });
  it.each([
    [20_000, 64.288],
    [1_500, 150.385],
    [200, 250.439],
  ])('%f Ω → %f °C', (ohm, celsius) => {
    expect(Math.abs((convert(ohm, null).celsius ?? 0) - celsius)).toBeLessThanOrEqual(0.001);
  });
  it('doubts what lies beyond the points, and only that', () => {
    expect(convert(200, null).doubt).toMatch(/beyond the points \(25 to 200 °C\)/);
    expect(convert(1_500, null).doubt).toBeUndefined();
  });
  it('says why beta is not enough: from the first two points it reads 206.6 °C at 500 Ω, which is 200 °C', () => {
    const β = Math.log(100_000 / 6_000) / (1 / 298.15 - 1 / 373.15);
    expect(β).toBeCloseTo(4173.4, 1);
    expect(ntcCelsius(ofBeta(β, 100_000, 25), 500)).toBeCloseTo(206.6, 1);
  });
  it('given points whose resistance rises with the temperature, refuses them', () => {
    const points = [POINTS[0], POINTS[1], { celsius: 200, ohm: 7_000 }];
    expect(() => ntc.prepare({ model: 'points', points })).toThrow(/the warmer the fewer ohms/);
  });
});

it('says open and short', () => {
  const convert = ntc.prepare({ model: 'beta', beta: 3950, r0: 100_000 });
  for (const ohm of [1e9, Infinity, Number.NaN])
    expect(convert(ohm, null)).toMatchObject({ celsius: null, fault: expect.stringMatching(/^open/) });
  for (const ohm of [0, -5, 1])
    expect(convert(ohm, null)).toMatchObject({ celsius: null, fault: expect.stringMatching(/^short/) });
});
