import { expect, test } from 'vitest';
import {
  CORDIERITE,
  DOUGH,
  FIRECLAY,
  STEEL,
  contactTemperature,
  diffusivity,
  type Material,
} from './material.ts';
import {
  bottom,
  createSlab,
  faceTemperature,
  layerCapacity,
  slabHeat,
  stepSlab,
  top,
  type Slab,
} from './slab.ts';

test('heat in equals heat stored', () => {
  const slab = createSlab(CORDIERITE, 0.015, 10, 20);
  for (let i = 0; i < 600; i++) stepSlab(slab, 900, -250, 0.5);
  // (900 − 250) W/m² for 300 s
  expect(slabHeat(slab, 20)).toBeCloseTo(650 * 300, 3);
});

// Newton's law of cooling, worked by hand: T∞ 300, T₀ 20, τ 20 min.
test.each([
  [10, 130.171],
  [20, 196.994],
  [30, 237.524],
  [60, 286.06],
  [90, 296.889],
])('a thin plate in still heat follows the exponential approach: %i min, %f °C', (minutes, celsius) => {
  const plate = createSlab(STEEL, 0.006, 4, 20);
  const h = (STEEL.rho * STEEL.c * 0.006) / (20 * 60);
  for (let t = 0; t < minutes * 60; t += 0.25) stepSlab(plate, h * (300 - top(plate)), 0, 0.25);
  expect(Math.abs(top(plate) - celsius)).toBeLessThan(0.1);
});

// Textbook heat conduction: slowest mode of a plate with one face insulated, 4L²/(π²α). The same mode lives in a plate of
// twice the thickness with both faces insulated, as half a cosine.
test.each([
  [CORDIERITE, 15, 97],
  [CORDIERITE, 20, 172],
  [FIRECLAY, 18, 258],
] as const)('the slowest mode dies away with the published time', (material, millimetres, tau) => {
  const slab = createSlab(material, (2 * millimetres) / 1000, 60, 0);
  slab.layers.forEach((_, i) => (slab.layers[i] = 100 * Math.cos((Math.PI * (i + 0.5)) / 60)));
  const before = top(slab);
  for (let t = 0; t < tau; t += 0.1) stepSlab(slab, 0, 0, 0.1);
  expect(top(slab) / before).toBeCloseTo(Math.exp(-1), 2);
});

test('a thick body under constant flux warms by 2q√(αt/π)/k', () => {
  // Carslaw and Jaeger, section 2.9, recalled
  const slab = createSlab(CORDIERITE, 0.2, 400, 20);
  for (let t = 0; t < 60; t += 0.05) stepSlab(slab, 5000, 0, 0.05);
  const rise = (2 * 5000 * Math.sqrt((diffusivity(CORDIERITE) * 60) / Math.PI)) / CORDIERITE.k;
  expect(Math.abs(faceTemperature(slab, 5000) - 20 - rise) / rise).toBeLessThan(0.01);
  expect(bottom(slab)).toBeCloseTo(20, 3);
});

/** Brings two thick bodies into perfect contact for `seconds`. @returns the temperature of the face between them. */
function touch(lower: Slab, upper: Slab, seconds: number): number {
  const half = ({ thickness, layers, material }: Slab): number =>
    thickness / (2 * layers.length * material.k);
  const conductance = 1 / (half(lower) + half(upper));
  const dt = 0.2 / (conductance * Math.max(1 / layerCapacity(lower), 1 / layerCapacity(upper)));
  let flux = 0;
  for (let t = 0; t < seconds; t += dt) {
    flux = conductance * (top(lower) - top(upper));
    stepSlab(lower, -flux, 0, dt);
    stepSlab(upper, flux, 0, dt);
  }
  return faceTemperature(lower, -flux);
}

test.each([
  [CORDIERITE, 270],
  [FIRECLAY, 250],
  [STEEL, 230],
] satisfies [Material, number][])(
  'layers in contact meet at the temperature of the effusivities',
  (stone, celsius) => {
    const lower = createSlab(stone, 0.06, 240, celsius);
    const upper = createSlab(DOUGH, 0.02, 160, 22);
    const expected = contactTemperature(stone, celsius, DOUGH, 22);
    expect(Math.abs(touch(lower, upper, 4) - expected)).toBeLessThan(1.5);
  },
);
