import { DOUGH } from './material.ts';
import { createSlab, layerCapacity, slabHeat, stepSlab, type Slab } from './slab.ts';

/**
 * A pizza on the stone: a slab of dough that starts cold and wet. At first it draws as two thick bodies in contact do
 * (effusivities, textbook); then each layer waits at 100 °C until its free water is gone, the base crusts and
 * steam lifts it, and the draw falls to a small part.
 */
export type Pizza = {
  slab: Slab;
  /** Free water left in each layer, kg/m². */
  water: Float64Array;
  /** m². */
  area: number;
  /** Contact of the base with the stone once it has crusted, W/(m²·K): thick and wet grips more than thin and dry. */
  grip: number;
  /** Seconds on the stone. */
  age: number;
};

/** Latent heat of water at 100 °C, J/kg. Textbook. */
const LATENT = 2.256e6;
/** Height of the dough with its topping, m, and share of its mass that is water free to go. Own estimate. */
const HEIGHT = 0.0075;
const FREE_WATER = 0.28;
const LAYERS = 6;
/** Contact, W/(m²·K): fresh dough wets the stone; crust and steam lift it within a minute. Own estimate, see README. */
const CONTACT_FRESH = 1500;
export const USUAL_GRIP = 48;
const CONTACT_FADES = 20;

export function createPizza(area: number, celsius: number, grip = USUAL_GRIP): Pizza {
  const slab = createSlab(DOUGH, HEIGHT, LAYERS, celsius);
  const water = new Float64Array(LAYERS).fill((DOUGH.rho * HEIGHT * FREE_WATER) / LAYERS);
  return { slab, water, area, grip, age: 0 };
}

export const contactConductance = ({ age, grip }: Pizza): number =>
  grip + (CONTACT_FRESH - grip) * Math.exp(-age / CONTACT_FADES);

/** Conductance from the middle of the stone's top layer to the middle of the dough's lowest, W/(m²·K). */
export function drawConductance(pizza: Pizza, stone: Slab): number {
  const half = (slab: Slab): number => slab.thickness / (2 * slab.layers.length * slab.material.k);
  return 1 / (1 / contactConductance(pizza) + half(pizza.slab) + half(stone));
}

/**
 * One step with the heat flows into its top and its base, W/m².
 * @returns heat that left as steam, J/m².
 */
export function stepPizza(pizza: Pizza, fluxTop: number, fluxBase: number, dt: number): number {
  stepSlab(pizza.slab, fluxTop, fluxBase, dt);
  pizza.age += dt;
  return evaporate(pizza) * LATENT;
}

/** Takes the heat above 100 °C of every wet layer as steam. @returns kg/m². */
function evaporate({ slab, water }: Pizza): number {
  const capacity = layerCapacity(slab);
  let steam = 0;
  for (let i = 0; i < water.length; i++) {
    const left = water[i] ?? 0;
    const excess = ((slab.layers[i] ?? 0) - 100) * capacity;
    if (excess <= 0 || left <= 0) continue;
    const gone = Math.min(left, excess / LATENT);
    water[i] = left - gone;
    slab.layers[i] = (slab.layers[i] ?? 0) - (gone * LATENT) / capacity;
    steam += gone;
  }
  return steam;
}

/** Heat of the whole pizza above `reference` °C, J. */
export const pizzaHeat = (pizza: Pizza, reference: number): number =>
  slabHeat(pizza.slab, reference) * pizza.area;
