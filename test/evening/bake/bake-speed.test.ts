import { describe, expect, it } from 'vitest';
import {
  baseSpeed,
  compared,
  halfInfiniteSeconds,
  PUBLISHED_BAKES,
  topSpeed,
  Z_CELSIUS,
} from '../../../server/evening/bake/bake-speed.ts';
import { forAll, real } from '../../support/property.ts';

const third = Math.log(4 / 3);

describe('two estimates of how fast a bake goes', () => {
  it('given estimates within a third, compared, gives their middle', () => {
    expect(compared(0.2, 0.3)).toEqual({ ln: 0.25, agrees: true });
  });

  it('given estimates more than a third apart, compared, moves less the further they are apart', () => {
    const near = compared(0.5 - third / 2, 0.5 + third / 2).ln;
    const [far, farther] = [compared(0.25, 0.75), compared(0, 1)];
    expect([far.agrees, farther.agrees]).toEqual([false, false]);
    expect(near).toBeCloseTo(0.5, 9);
    expect(far.ln).toBeLessThan(near);
    expect(farther.ln).toBeLessThan(far.ln);
  });

  it('given the published pairs, fitted, has the time fall to a tenth over 150 to 200 °C', () => {
    expect(PUBLISHED_BAKES.map(([celsius]) => celsius)).toEqual([270, 330, 467.5]);
    expect(Z_CELSIUS).toBeGreaterThan(150);
    expect(Z_CELSIUS).toBeLessThan(200);
  });

  // L²/(πα) with the middles of the material table: 0.8 s at 6 mm of steel; 76 s at 15 mm of cordierite.
  it.each([
    ['steel', 6, 0.83],
    ['cordierite', 15, 76],
  ] as const)('given %s of %d mm, is half-infinite for %d s', (material, thicknessMm, want) =>
    expect(halfInfiniteSeconds({ material, thicknessMm }) / want).toBeCloseTo(1, 1),
  );

  it('given any band, at its own reference the speed is one, and hotter is never slower', () => {
    const celsius = real(150, 550);
    forAll({ seed: 5 }, celsius, celsius, real(0, 900), (a, b, since) => {
      for (const speed of [
        (x: number, y: number) => baseSpeed(x, y, since, 76).ln,
        (x: number, y: number) => topSpeed(x, y).ln,
      ]) {
        expect(speed(a, a)).toBeCloseTo(0, 9);
        expect(Math.sign(speed(a, b)) * (a - b)).toBeGreaterThanOrEqual(0);
      }
    });
  });
});
