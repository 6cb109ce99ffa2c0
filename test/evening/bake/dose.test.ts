import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { baseDose, doseOf, logLinear, topDose, whenDose, Z_BASE } from '../../../server/evening/bake/dose.ts';
import { touchOf } from '../../../server/evening/stone/contact.ts';

describe('log-linear dose', () => {
  const cook = logLinear(100, 33);
  // Handbook section 12: cook value, z 33, T_ref 100.
  it.each([
    [80, 0.248],
    [100, 1],
    [120, 4.037],
    [133, 10],
    [150, 32.745],
  ])('a minute at %d °C is %d', (celsius, want) => expect(cook(celsius, celsius, 1)).toBeCloseTo(want, 3));

  it('is exact on straight pieces: 16.3072 min, where the trapezium rule has 23.0614 (handbook section 12)', () => {
    const points = [60, 100, 133, 100].map((celsius, i) => ({ t: 2 * i, celsius }));
    expect(doseOf(points, cook)).toBeCloseTo(16.3072, 4);
  });

  // Handbook section 12: 7.5 min at 270 °C becomes …
  it.each([
    [30, 34.8, 16.2, 3.48, 1.62],
    [50, 18.8, 11.9, 4.73, 2.99],
    [80, 13.3, 10.0, 5.62, 4.22],
  ])('with z %d', (z, ...minutes) => {
    const dose = logLinear(270, z);
    [250, 260, 280, 290].forEach((celsius, i) =>
      expect(7.5 / dose(celsius, celsius, 1) / (minutes[i] ?? 0)).toBeCloseTo(1, 2),
    );
  });

  it('does not mind how finely a straight piece is cut', () => {
    const celsius = fc.double({ min: 100, max: 400, noNaN: true });
    fc.assert(
      fc.property(celsius, celsius, fc.double({ min: 0.05, max: 0.95, noNaN: true }), (from, to, cut) => {
        for (const dose of [logLinear(200, 60), topDose, baseDose()]) {
          const at = from + (to - from) * cut;
          const parts = dose(from, at, 300 * cut) + dose(at, to, 300 * (1 - cut));
          expect(Math.abs(parts - dose(from, to, 300))).toBeLessThan(1e-6 * (1 + parts));
        }
      }),
      { seed: 3 },
    );
  });
});

describe('base and top', () => {
  it('count a second as one at a stone of 270 °C and a dome of 250 °C', () => {
    expect(baseDose()(270, 270, 60)).toBeCloseTo(60, 9);
    expect(topDose(250, 250, 60)).toBeCloseTo(60, 9);
  });

  it('base: z is 80 °C on a cordierite stone (handbook section 12), and 50 to 80 °C on the contact', () => {
    expect(baseDose()(350, 350, 1)).toBeCloseTo(10, 6);
    expect(Z_BASE).toBeGreaterThan(50);
    expect(Z_BASE).toBeLessThan(80);
  });

  it('base: a steel at 197 °C does what a cordierite at 270 °C does (handbook section 7)', () => {
    expect(baseDose(touchOf('steel'))(197, 197, 1)).toBeCloseTo(1, 1);
  });

  it('top: a dome from 250 to 300 °C radiates 44 % more (handbook section 7), and less of it comes back from the top', () => {
    // σT⁴ in kW/m² from the handbook: 100 °C 1.099, 250 °C 4.247, 300 °C 6.119
    expect(topDose(300, 300, 1)).toBeCloseTo((6.119 - 1.099) / (4.247 - 1.099), 3);
  });

  it('top: a dome below 100 °C does nothing, one that rises through it only above', () => {
    expect(topDose(20, 90, 60)).toBe(0);
    expect(topDose(0, 200, 60)).toBeCloseTo(topDose(100, 200, 30), 6);
    expect(topDose(200, 0, 60)).toBeCloseTo(topDose(200, 100, 30), 6);
  });
});

describe('when a dose is reached', () => {
  it('on a level curve after dose / rate', () => {
    expect(whenDose(60, [{ t: 10, celsius: 270 }], baseDose())).toBeCloseTo(70, 0);
  });

  it('is where the dose of the curve up to then is what was needed', () => {
    const line = [
      { t: 0, celsius: 250 },
      { t: 120, celsius: 290 },
      { t: 400, celsius: 260 },
    ];
    const at = whenDose(200, line, baseDose()) ?? 0;
    expect(at).toBeGreaterThan(120);
    const celsius = 290 - (30 * (at - 120)) / 280;
    expect(doseOf([...line.slice(0, 2), { t: at, celsius }], baseDose())).toBeCloseTo(200, 0);
  });

  it('is now where it has been, and null where it takes more than half an hour', () => {
    expect(whenDose(-5, [{ t: 10, celsius: 270 }], baseDose())).toBe(10);
    expect(whenDose(300, [{ t: 0, celsius: 90 }], topDose)).toBeNull();
  });
});
