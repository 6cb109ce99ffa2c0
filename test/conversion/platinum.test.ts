import { describe, expect, it } from 'vitest';
import { platinum, platinumCelsius, platinumRatio } from '../../server/conversion/platinum.ts';

/** IEC 60751 as a tolerance sheet and DIN EN 60751 reproduce it: °C, Ω of a Pt100 with 2 and 4 decimals. */
const ROWS = [
  [-50, 80.31, 80.3063],
  [0, 100.0, 100.0],
  [25, 109.73, 109.7347],
  [100, 138.51, 138.5055],
  [200, 175.86, 175.856],
  [250, 194.1, 194.0981],
  [270, 201.31, 201.3141],
  [300, 212.05, 212.0515],
] as const;

describe('platinum, IEC 60751', () => {
  it.each(ROWS)('at %f °C a Pt100 has %f Ω', (celsius, printed, ohm) => {
    expect(Number((100 * platinumRatio(celsius)).toFixed(2))).toBe(printed);
    expect(100 * platinumRatio(celsius)).toBeCloseTo(ohm, 4);
    expect(platinumCelsius(ohm / 100)).toBeCloseTo(celsius, 3);
    expect(platinum.prepare({ r0: 1000 })(ohm * 10, null).celsius).toBeCloseTo(celsius, 3);
  });

  it.each([
    [138.51, 100.012],
    [194.1, 250.005],
    [212.05, 299.996],
  ])('%f Ω are %f °C', (ohm, celsius) => {
    expect(Math.abs((platinum.prepare({})(ohm, null).celsius ?? 0) - celsius)).toBeLessThanOrEqual(0.001);
  });

  it('has the mean α of 0.00385055 between 0 and 100 °C', () => {
    expect((platinumRatio(100) - 1) / 100).toBeCloseTo(0.00385055, 8);
  });

  it('goes there and back over the whole range', () => {
    for (let t = -200; t <= 850; t += 12.5) expect(platinumCelsius(platinumRatio(t))).toBeCloseTo(t, 6);
  });

  it('takes off the leads: an ohm near 270 °C is 2.8 °C', () => {
    const off = platinum.prepare({})(202.3141, null).celsius ?? 0;
    expect(off - 270).toBeCloseTo(2.8, 1);
    expect(platinum.prepare({ lead: 1 })(202.3141, null).celsius).toBeCloseTo(270, 3);
  });

  it('says open and short', () => {
    expect(platinum.prepare({})(1e6, null)).toMatchObject({
      celsius: null,
      fault: expect.stringMatching(/^open/),
    });
    expect(platinum.prepare({})(0.4, null)).toMatchObject({
      celsius: null,
      fault: expect.stringMatching(/^short/),
    });
    expect(platinum.prepare({})(Number.NaN, null).celsius).toBeNull();
  });
});
