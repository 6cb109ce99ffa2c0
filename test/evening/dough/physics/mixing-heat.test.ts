import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { frictionFrom, mix, type Mixing } from '../../../../server/evening/dough/physics/mixing-heat.ts';
import { forAll, real } from '../../../support/property.ts';

const kitchen: Mixing = { hydration: 0.62, flourC: 20, roomC: 21, tapC: 15, frictionC: 12 };
const mixings: fc.Arbitrary<Mixing> = fc.record({
  hydration: real(0.5, 0.9),
  flourC: real(0, 30),
  roomC: real(5, 38),
  tapC: real(0, 30),
  frictionC: real(0, 20),
});

describe('the heat of mixing', () => {
  // The bakers' rule T_w = 3·T_d − T_f − T_r − F, where flour and room are near the dough and it holds (common practice).
  it.each([
    [24, 20, 22, 6, 24],
    [25, 20, 21, 12, 22],
  ])(
    'dough %d of flour %d, room %d, friction %d: water within 1 °C of the rule’s %d',
    (want, flourC, roomC, frictionC, water) => {
      const mixed = mix({ ...kitchen, flourC, roomC, frictionC }, want);
      expect(Math.abs(mixed.waterC - water)).toBeLessThan(1);
      expect(mixed.doughC).toBeCloseTo(want, 9);
    },
  );

  // 1000 g flour at 20 °C and 620 g water: 22.4 °C with water of 24, 33.0 with 42 (c 1.8 and 4.19 kJ/kgK, computed).
  it.each([
    [22.4, 24],
    [33, 42],
  ])('comes to %d °C with water of %d °C, where neither bowl nor friction takes part', (doughC, waterC) => {
    const bare = mix({ ...kitchen, roomC: doughC, frictionC: 0, tapC: 0 }, doughC);
    expect(Math.abs(bare.waterC - waterC)).toBeLessThan(0.15);
  });

  it('ice takes the heat that the tap has too much: the balance by hand, kJ', () => {
    const { doughC, ice, waterC } = mix({ ...kitchen, flourC: 28, roomC: 30, tapC: 24, frictionC: 8 }, 22);
    expect(doughC).toBeCloseTo(22, 9);
    expect(ice).toBeGreaterThan(0.03);
    // melted and warmed to the water's temperature against the rest cooled to it
    expect(ice * (334 + 4.19 * waterC)).toBeCloseTo((0.62 - ice) * 4.19 * (24 - waterC), 9);
  });

  it('gives the warmest or coldest dough that can be had, where the wish can’t be', () => {
    const hot = mix({ ...kitchen, flourC: 30, roomC: 38, tapC: 30, frictionC: 40 }, 10);
    expect(hot.doughC).toBeGreaterThan(10);
    expect([hot.waterC, hot.ice]).toEqual([0, 0.31]);
    const cold = mix({ ...kitchen, flourC: 0, roomC: 5, tapC: 0, frictionC: 0 }, 30);
    expect(cold.doughC).toBeLessThan(30);
    expect(cold.waterC).toBeCloseTo(45, 9);
  });

  it('counts a preferment as flour and water of its own temperature', () => {
    const preferment = { flour: 0.2, water: 0.2, celsius: 20 };
    const warm = mix({ ...kitchen, preferment }, 24);
    const cool = mix({ ...kitchen, preferment: { ...preferment, celsius: 10 } }, 24);
    // by hand: 10 °C less in 0.2·1.8 + 0.2·4.19 kJ/K, from 0.42 kg of water of 4.19
    expect(cool.waterC - warm.waterC).toBeCloseTo((10 * 0.2 * (1.8 + 4.19)) / (0.42 * 4.19), 9);
  });

  it('friction is found again from the dough that it made', () => {
    forAll({ seed: 4 }, mixings, real(18, 28), (mixing, want) => {
      const mixed = mix(mixing, want);
      expect(frictionFrom(mixed.doughC, mixing, mixed)).toBeCloseTo(mixing.frictionC, 6);
    });
  });

  it('in any kitchen: water from 0 to 45 °C, ice no more than half of it, and a warmer kitchen is no colder dough', () => {
    forAll({ seed: 4 }, mixings, real(18, 28), real(0, 5), (mixing, want, more) => {
      const mixed = mix(mixing, want);
      expect(mixed.waterC).toBeGreaterThanOrEqual(0);
      expect(mixed.waterC).toBeLessThanOrEqual(45 + 1e-9);
      expect(mixed.ice).toBeLessThanOrEqual(mixing.hydration / 2 + 1e-9);
      for (const part of ['flourC', 'roomC', 'tapC', 'frictionC'] as const)
        expect(mix({ ...mixing, [part]: mixing[part] + more }, want).doughC).toBeGreaterThanOrEqual(
          mixed.doughC - 1e-9,
        );
    });
  });
});
