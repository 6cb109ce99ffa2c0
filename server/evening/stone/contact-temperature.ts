import type { Material } from '../../../shared/evening/evening.ts';
import { DOUGH_AT_LAUNCH_CELSIUS, DOUGH_EFFUSIVITY, effusivity, MATERIAL_PROPERTIES } from './materials.ts';

/** Two bodies that touch: effusivity J m⁻² K⁻¹ s⁻½ of stone and dough, dough °C. */
type Touch = { stone: number; dough?: number; doughC?: number };

/** ν = e_dough / e_stone. */
const ratio = ({ stone, dough = DOUGH_EFFUSIVITY }: Touch): number => dough / stone;

/**
 * Temperature of the face between them, °C: T_c = (e₁T₁ + e₂T₂)/(e₁ + e₂) (textbook). Two half-infinite
 * bodies in perfect contact: for a 15 mm stone it holds for about the first minute.
 */
export function contact(stoneC: number, touch: Touch): number {
  const nu = ratio(touch);
  return (stoneC + nu * (touch.doughC ?? DOUGH_AT_LAUNCH_CELSIUS)) / (1 + nu);
}

/** Stone temperature, °C, that gives this contact temperature: T₁ = T_c(1 + ν) − ν·T₂. */
export function stoneFor(contactC: number, touch: Touch): number {
  const nu = ratio(touch);
  return contactC * (1 + nu) - nu * (touch.doughC ?? DOUGH_AT_LAUNCH_CELSIUS);
}

export const touchOf = (material: Material): Touch => ({ stone: effusivity(MATERIAL_PROPERTIES[material]) });

/** σ, W m⁻² K⁻⁴ (CODATA). */
export const STEFAN_BOLTZMANN = 5.670374419e-8;
