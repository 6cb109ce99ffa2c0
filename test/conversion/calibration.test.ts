import { describe, expect, it } from 'vitest';
import {
  boilingPoint,
  saturationTemperature,
  standardPressure,
  stationPressure,
} from '../../server/conversion/boiling.ts';
import {
  againstProbe,
  boilingAt,
  byIceAndBoiling,
  byOffset,
  extrapolated,
} from '../../server/conversion/calibration.ts';

describe('boiling water', () => {
  it('given the pressures of IAPWS-IF97, table 36, boils at the temperatures there', () => {
    for (const [p, T] of [
      [0.1, 372.755919],
      [1, 453.035632],
      [10, 584.149488],
    ] as const)
      expect(saturationTemperature(p)).toBeCloseTo(T, 6);
  });

  // ISO 2533 and IF97, worked out apart from this code
  it.each([
    [0, 101_325, 99.97],
    [500, 95_461, 98.31],
    [1000, 89_875, 96.65],
    [1500, 84_556, 94.98],
    [2000, 79_495, 93.32],
    [2500, 74_683, 91.64],
    [3000, 70_109, 89.97],
  ])('at %f m: %f Pa, %f °C', (metres, pascal, celsius) => {
    expect(Math.abs(standardPressure(metres) - pascal)).toBeLessThanOrEqual(1);
    expect(Math.abs(boilingAt({ altitude: metres }).celsius - celsius)).toBeLessThanOrEqual(0.006);
  });

  it.each([
    [980, 99.04],
    [990, 99.33],
    [1000, 99.61],
    [1013.25, 99.97],
    [1020, 100.16],
    [1030, 100.43],
    [1040, 100.71],
  ])('under %f hPa: %f °C', (hPa, celsius) => {
    expect(Math.abs(boilingPoint(hPa * 100) - celsius)).toBeLessThanOrEqual(0.006);
  });

  it('takes a weather service’s pressure to where one stands', () => {
    expect(stationPressure(101_325, 500)).toBeCloseTo(standardPressure(500), 6);
    expect(stationPressure(103_000, 0)).toBe(103_000);
  });
});

describe('calibration', () => {
  it('draws the line through ice and boiling', () => {
    const { gain, offset } = byIceAndBoiling(0.6, 98.9, { altitude: 500 });
    expect(gain * 0.6 + offset).toBeCloseTo(0, 3);
    expect(gain * 98.9 + offset).toBeCloseTo(98.31, 2);
  });

  it('says what that is worth at 270 °C: ±0.3 °C at both can be ±1.3 °C', () => {
    expect(extrapolated(0.3, 0.3, 270)).toBeCloseTo(2.7 * 0.3 + 1.7 * 0.3, 9);
    const byAltitude = byIceAndBoiling(0, 98.3, { altitude: 500 });
    const byBarometer = byIceAndBoiling(0, 98.3, { pressure: 95_461 });
    expect(byAltitude.worth).toBeGreaterThan(2);
    expect(byBarometer.worth).toBeLessThan(1);
    expect(byAltitude.how).toContain(`±${byAltitude.worth?.toFixed(1)} °C at 270 °C`);
  });

  it('refuses what no honest probe reads', () => {
    expect(() => byIceAndBoiling(20, 21, { altitude: 0 })).toThrow(/check that the right probe/);
    expect(() => byIceAndBoiling(5, 5, { altitude: 0 })).toThrow(/check that the right probe/);
    expect(() => byOffset(20, 300)).toThrow(/check that the right probe/);
  });

  it('shifts by one known temperature', () => {
    expect(byOffset(1.2, 0)).toMatchObject({ offset: -1.2, gain: 1, worth: null });
  });

  it('meets another probe: a shift where they were at one temperature, a line over a wide span', () => {
    const near = [248, 250, 252, 249, 251].map((x) => [x, x + 3] as const);
    expect(againstProbe(near)).toMatchObject({ offset: 3, gain: 1, worth: 0 });
    const wide = Array.from({ length: 20 }, (_, i) => [20 + 12 * i, 1.02 * (20 + 12 * i) - 1.5] as const);
    const line = againstProbe(wide);
    expect(line.gain).toBeCloseTo(1.02, 6);
    expect(line.offset).toBeCloseTo(-1.5, 3);
    expect(line.how).toContain('from 20.0 to 248.0 °C');
    expect(() => againstProbe([])).toThrow(/wait for some/);
  });
});
