import type { Band } from '../../../shared/engine.ts';
import type { Material } from '../../../shared/evening.ts';
import { ZERO_CELSIUS_K } from '../../../shared/units.ts';
import { figure, OutOfRange, within } from '../range.ts';
import { DOUGH_AT_LAUNCH, DOUGH_EFFUSIVITY, effusivity, PROPERTIES } from './materials.ts';

/** Two bodies that touch: effusivity J m⁻² K⁻¹ s⁻½ of stone and dough, dough °C. */
export type Touch = { stone: number; dough?: number; doughC?: number };

/** ν = e_dough / e_stone. */
const ratio = ({ stone, dough = DOUGH_EFFUSIVITY }: Touch): number => dough / stone;

/**
 * Temperature of the face between them, °C: T_c = (e₁T₁ + e₂T₂)/(e₁ + e₂) (handbook section 7). Two half-infinite
 * bodies in perfect contact: for a 15 mm stone it holds for about the first minute. Stone from -50 to 600 °C.
 */
export function contact(stoneC: number, touch: Touch): number {
  within('The stone', stoneC, [-50, 600], '°C');
  const nu = ratio(touch);
  return (stoneC + nu * (touch.doughC ?? DOUGH_AT_LAUNCH)) / (1 + nu);
}

/** Stone temperature, °C, that gives this contact temperature: T₁ = T_c(1 + ν) − ν·T₂. */
export function stoneFor(contactC: number, touch: Touch): number {
  const nu = ratio(touch);
  return contactC * (1 + nu) - nu * (touch.doughC ?? DOUGH_AT_LAUNCH);
}

export const touchOf = (material: Material, doughC = DOUGH_AT_LAUNCH): Touch => ({
  stone: effusivity(PROPERTIES[material]),
  doughC,
});

/** The band of another material that touches the dough as warmly, °C. Band from 20 to 600 °C. */
export function equalBakeBand(band: Band, from: Material, to: Material, doughC = DOUGH_AT_LAUNCH): Band {
  const same = (stoneC: number): number =>
    stoneFor(contact(stoneC, touchOf(from, doughC)), touchOf(to, doughC));
  return [same(band[0]), same(band[1])];
}

/** How low or high another material has to be, and what it costs, in words. */
export function equalBakeText(band: Band, from: Material, to: Material): string {
  const [low, high] = equalBakeBand(band, from, to);
  return `With ${PROPERTIES[to].label}, bake at ${figure(low, 0)} to ${figure(high, 0)} °C where ${PROPERTIES[from].label} wants ${band[0]} to ${band[1]} °C: the base is as hot, but the top gets no more than the lower dome gives.`;
}

/** σ, W m⁻² K⁻⁴ (CODATA). */
export const STEFAN_BOLTZMANN = 5.670374419e-8;
/** Heat that the face gives, with λ W/mK and χ m²/s of the oven's floor, °C. */
export type Floor = { lambda: number; chi: number; nu: number };
const BOILING_K = 373.15;

/**
 * Heat per area into a pizza within `seconds`, J/m²: Q = σ(T⁴ − 373.15⁴)τ + 2λ(T − T₀)√(τ/(πχ)) with
 * T₀ = (T + ν·T_dough)/(1 + ν): radiated and conducted (Varlamov, Glatz & Grasso 2018, handbook section 7).
 * Oven from 120 to 500 °C, oven and floor equally hot.
 */
export function heatPerArea(ovenC: number, seconds: number, { lambda, chi, nu }: Floor, doughC = 20): number {
  within('The oven', ovenC, [120, 500], '°C');
  const face = (ovenC + nu * doughC) / (1 + nu);
  const radiated = STEFAN_BOLTZMANN * ((ovenC + ZERO_CELSIUS_K) ** 4 - BOILING_K ** 4) * seconds;
  return radiated + 2 * lambda * (ovenC - face) * Math.sqrt(seconds / (Math.PI * chi));
}

/** Seconds until that much heat is in, by halving to 0.01 s. @throws OutOfRange where it takes over an hour */
export function secondsForHeat(heat: number, ovenC: number, floor: Floor, doughC = 20): number {
  let [low, high] = [0, 3600];
  if (heatPerArea(ovenC, high, floor, doughC) < heat)
    throw new OutOfRange('So much heat takes longer than the hour within which this holds.');
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    if (heatPerArea(ovenC, middle, floor, doughC) < heat) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
