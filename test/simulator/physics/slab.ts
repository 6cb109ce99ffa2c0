import type { Material } from './material.ts';

/**
 * A flat body cut into equal layers, conduction through it in one dimension: ρc·dx·dTᵢ/dt = (k/dx)(Tᵢ₋₁ − 2Tᵢ + Tᵢ₊₁)
 * with given heat flows into its two faces. Layer 0 is the top. Solved by backward Euler (Thomas algorithm), so that
 * thin steel is stable at any step; heat is conserved exactly.
 */
export type Slab = { material: Material; thickness: number; layers: Float64Array };

export const createSlab = (material: Material, thickness: number, count: number, celsius: number): Slab => ({
  material,
  thickness,
  layers: new Float64Array(count).fill(celsius),
});

/** Heat capacity of one layer for a square metre, J/(m²·K). */
export const layerCapacity = ({ material, thickness, layers }: Slab): number =>
  (material.rho * material.c * thickness) / layers.length;

/** Heat stored above `reference` °C, J/m². */
export function slabHeat(slab: Slab, reference: number): number {
  let sum = 0;
  for (const celsius of slab.layers) sum += celsius - reference;
  return sum * layerCapacity(slab);
}

export const top = (slab: Slab): number => slab.layers[0] ?? Number.NaN;
export const bottom = (slab: Slab): number => slab.layers[slab.layers.length - 1] ?? Number.NaN;
/** At `depth` metres below the top face, by straight lines between the middles of the layers. */
export function atDepth({ layers, thickness }: Slab, depth: number): number {
  const place = Math.max(0, Math.min(layers.length - 1, (depth / thickness) * layers.length - 0.5));
  const i = Math.floor(place);
  const above = layers[i] ?? Number.NaN;
  return above + (place - i) * ((layers[i + 1] ?? above) - above);
}
export const mean = (slab: Slab): number =>
  slab.layers.reduce((sum, celsius) => sum + celsius, 0) / slab.layers.length;

/** The face itself lies half a layer outside the middle of its layer: T_face = T₀ + q·dx/(2k), q into it, W/m². */
export const faceTemperature = (slab: Slab, fluxIn: number): number =>
  top(slab) + (fluxIn * slab.thickness) / (2 * slab.layers.length * slab.material.k);

/** Scratch of the Thomas algorithm, long enough for any slab here. */
const upper = new Float64Array(1024);

/** One step of `dt` seconds with `fluxTop` and `fluxBottom`, W/m², flowing in. */
export function stepSlab(slab: Slab, fluxTop: number, fluxBottom: number, dt: number): void {
  const { layers, material, thickness } = slab;
  const last = layers.length - 1;
  // r = k·dt/(ρc·dx²), the mesh Fourier number
  const dx = thickness / layers.length;
  const r = (material.k * dt) / (material.rho * material.c * dx * dx);
  const perFlux = dt / layerCapacity(slab);
  layers[0] = top(slab) + fluxTop * perFlux;
  layers[last] = bottom(slab) + fluxBottom * perFlux;
  if (last > 0) solveTridiagonal(layers, r);
}

/** Solves (1 + 2r)xᵢ − r·xᵢ₋₁ − r·xᵢ₊₁ = dᵢ in place, with 1 + r at both ends. */
function solveTridiagonal(x: Float64Array, r: number): void {
  const last = x.length - 1;
  upper[0] = -r / (1 + r);
  x[0] = at(x, 0) / (1 + r);
  for (let i = 1; i <= last; i++) {
    const pivot = (i === last ? 1 + r : 1 + 2 * r) + r * at(upper, i - 1);
    upper[i] = -r / pivot;
    x[i] = (at(x, i) + r * at(x, i - 1)) / pivot;
  }
  for (let i = last - 1; i >= 0; i--) x[i] = at(x, i) - at(upper, i) * at(x, i + 1);
}

const at = (x: Float64Array, i: number): number => x[i] ?? Number.NaN;
