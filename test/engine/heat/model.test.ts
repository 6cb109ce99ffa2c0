import { describe, expect, test } from 'vitest';
import {
  advance,
  couplingOf,
  DISTURBANCE_TAU_SECONDS,
  type Heat,
  type Parameters,
} from '../../../server/engine/heat/model.ts';

const STILL: Parameters = { a: 0, r: 0, b: 0, k: 0, tauW: 900, tauP: 900, g: 0, e: 0, u: 0 };
const at = (celsius: number): Heat => ({
  surface: celsius,
  bulk: celsius,
  extra: 0,
  wall: celsius,
  base: celsius,
  pizza: celsius,
});

function run(heat: Heat, p: Parameters, dome: number, seconds: number, dt = 10): Heat {
  for (let t = 0; t < seconds; t += dt)
    advance(
      heat,
      p,
      { dome, ground: 20, isOpen: false, isCovered: false },
      dt,
      Math.exp(-dt / DISTURBANCE_TAU_SECONDS),
    );
  return heat;
}

describe('the heat model against what is known in closed form', () => {
  test('the wall follows a dome of 300 °C by T(t) = T∞ − (T∞ − T₀)·e^(−t/τ)', () => {
    const { wall } = run(at(20), STILL, 300, 1200);
    expect(Math.abs(wall - (300 - 280 * Math.exp(-1200 / 900)))).toBeLessThan(0.6);
  });

  test('a stone of one temperature under convection alone follows with τ = 1/a', () => {
    // k as fast as it gets keeps surface and bulk at one
    const { surface, bulk } = run(at(20), { ...STILL, a: 1 / 12_000, k: 0.02 }, 300, 18_000, 5);
    const exact = 300 - 280 * Math.exp(-18_000 / 12_000);
    expect(Math.abs(0.3 * surface + 0.7 * bulk - exact)).toBeLessThan(1);
  });

  test('left alone, surface and bulk meet at the mean of their heat, as fast as e^(−k·t·(1/c + 1/(1 − c)))', () => {
    const k = 1 / 500;
    const heat = run({ ...at(200), surface: 260 }, { ...STILL, k }, 200, 100, 1);
    expect(0.3 * heat.surface + 0.7 * heat.bulk).toBeCloseTo(0.3 * 260 + 0.7 * 200, 6);
    const exact = 60 * Math.exp(-k * 100 * (1 / 0.3 + 1 / 0.7));
    expect(Math.abs(heat.surface - heat.bulk - exact)).toBeLessThan(0.25);
  });

  test('in a grill all of one temperature nothing moves', () => {
    const p = { a: 4e-4, r: 7e-4, b: 8e-4, k: 0.003, tauW: 900, tauP: 900, g: 0.6, e: 0, u: 1e-3 };
    expect(run(at(250), p, 250, 3600)).toEqual({ ...at(250), pizza: 20 });
  });

  test('a small error is carried on by F as the step itself carries it', () => {
    const p = { a: 4e-4, r: 7e-4, b: 8e-4, k: 0.003, tauW: 900, tauP: 900, g: 0.6, e: 0.1, u: 1e-3 };
    const drive = { dome: 260, ground: 20, isOpen: false, isCovered: false };
    const from = { surface: 210, bulk: 205, extra: 0.002, wall: 230, base: 300, pizza: 20 };
    const F = couplingOf(from, p, drive, 10, 0.99);
    const after = (change: Partial<Heat>): Heat => {
      const heat = { ...from, ...change };
      advance(heat, p, drive, 10, 0.99);
      return heat;
    };
    const still = after({});
    const small = 1e-3;
    const bulk = after({ bulk: 205 + small });
    expect((bulk.surface - still.surface) / small).toBeCloseTo(F.sb, 5);
    // radiation grows with temperature, which F leaves aside
    expect(Math.abs((bulk.bulk - still.bulk) / small - F.bb)).toBeLessThan(0.01);
    const surface = after({ surface: 210 + small });
    expect((surface.bulk - still.bulk) / small).toBeCloseTo(F.bs, 5);
    expect(Math.abs((surface.surface - still.surface) / small - F.ss)).toBeLessThan(0.01);
    const extra = after({ extra: 0.002 + small });
    expect((extra.surface - still.surface) / small).toBeCloseTo(10, 5);
    expect((extra.extra - still.extra) / small).toBeCloseTo(F.dd, 5);
  });

  test('what the model does not know dies out', () => {
    const heat = run({ ...at(250), extra: 0.01 }, STILL, 250, DISTURBANCE_TAU_SECONDS);
    expect(heat.extra).toBeCloseTo(0.01 / Math.E, 6);
  });

  test('a cold pizza takes heat out of the surface at first, and less once its base boils', () => {
    const p = { ...STILL, k: 0.003, u: 1e-3 };
    const heat = { ...at(270), pizza: 20 };
    const drive = { dome: 270, ground: 20, isOpen: false, isCovered: true };
    advance(heat, p, drive, 10, 1);
    const first = 270 - heat.surface;
    for (let i = 0; i < 44; i++) advance(heat, p, drive, 10, 1);
    const before = heat.bulk;
    advance(heat, p, drive, 10, 1);
    expect(first).toBeGreaterThan(5);
    expect(before - heat.bulk).toBeLessThan(first / 4);
    expect(heat.pizza).toBeGreaterThan(90);
  });
});
