import { expect, test } from 'vitest';
import { blackBody, airGapConductance, facing, radiantConductance } from './radiation.ts';
import {
  CORDIERITE,
  FIRECLAY,
  STEEL,
  contactTemperature,
  diffusivity,
  effusivity,
  type Material,
} from './material.ts';

// All tables: textbook heat conduction, worked by hand; properties from memory.

test('effusivity and diffusivity of the mid rows', () => {
  expect(effusivity(CORDIERITE)).toBeCloseTo(1749, 0);
  expect(effusivity(FIRECLAY)).toBeCloseTo(1403, 0);
  expect(effusivity(STEEL)).toBeGreaterThan(13_500);
  expect(effusivity(STEEL)).toBeLessThan(13_900);
  expect(diffusivity(CORDIERITE) * 1e7).toBeCloseTo(9.44, 2);
  expect(diffusivity(FIRECLAY) * 1e7).toBeCloseTo(5.08, 2);
});

test.each([
  [CORDIERITE, 15, 238],
  [CORDIERITE, 20, 424],
  [FIRECLAY, 16, 504],
  [FIRECLAY, 18, 638],
] as const)('diffusion time L²/α', (material, millimetres, seconds) => {
  expect((millimetres / 1000) ** 2 / diffusivity(material)).toBeCloseTo(seconds, 0);
});

/** k = c = 1 W/mK and J/kgK, ρ = e²: a body of effusivity e. */
const ofEffusivity = (e: number): Material => ({ k: 1, rho: e * e, c: 1, epsilon: 0.9 });

test.each([
  [1200, 250, 152.3],
  [1400, 270, 173.0],
  [1750, 250, 172.6],
  [1750, 300, 205.6],
  [14_000, 270, 255.0],
  [900, 270, 146.0],
])('contact of dough at 22 °C, e 900, with e %i at %i °C', (e, celsius, contact) => {
  expect(contactTemperature(ofEffusivity(e), celsius, ofEffusivity(900), 22)).toBeCloseTo(contact, 1);
});

test('a 350 mm × 15 mm cordierite disc weighs 2.89 kg, holds 2.60 kJ/K and takes 649 kJ from 20 to 270 °C', () => {
  const mass = (Math.PI / 4) * 0.35 ** 2 * 0.015 * CORDIERITE.rho;
  expect(mass).toBeCloseTo(2.89, 2);
  expect((mass * CORDIERITE.c) / 1000).toBeCloseTo(2.6, 2);
  expect((mass * CORDIERITE.c * 250) / 1000).toBeCloseTo(649, 0);
});

test.each([
  [100, 1.099],
  [230, 3.634],
  [270, 4.935],
  [300, 6.119],
  [390, 10.966],
])('a black body at %i °C gives %f kW/m²', (celsius, kilowatts) => {
  expect(blackBody(celsius) / 1000).toBeCloseTo(kilowatts, 3);
});

test('the radiant conductance is the difference of two black bodies', () => {
  expect(radiantConductance(1, 300, 120) * 180).toBeCloseTo(blackBody(300) - blackBody(120), 6);
});

test.each([
  [2, 62],
  [5, 49],
  [10, 44],
  [20, 42],
])('an air gap of %i mm between 300 and 350 °C, ε 0.9, conducts %i W/m²K', (millimetres, h) => {
  expect(airGapConductance(millimetres / 1000, facing(0.9, 0.9), 300, 350)).toBeCloseTo(h, 0);
});
