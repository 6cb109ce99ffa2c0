/**
 * What stones, dough and the grill's body are made of: published property ranges (mostly from memory), middle values unless
 * a row says otherwise. SI units.
 */
export type Material = {
  /** Thermal conductivity k, W/(m·K). */
  k: number;
  /** Density ρ, kg/m³. */
  rho: number;
  /** Heat capacity c, J/(kg·K). */
  c: number;
  /** Total emissivity ε (tables of instrument makers). */
  epsilon: number;
};

export const CORDIERITE: Material = { k: 1.7, rho: 2000, c: 900, epsilon: 0.92 };
export const FIRECLAY: Material = { k: 1.0, rho: 2050, c: 960, epsilon: 0.93 };
/** A dense, hard-fired brick: the upper end of the fireclay ranges. */
export const BRICK: Material = { k: 1.3, rho: 2250, c: 900, epsilon: 0.93 };
export const STEEL: Material = { k: 50, rho: 7850, c: 480, epsilon: 0.8 };
/** Risen dough under its topping. */
export const DOUGH: Material = { k: 0.4, rho: 800, c: 2600, epsilon: 0.9 };
/** Wall of the grill: α = k/(ρc) = 5.9e−7 m²/s, within 5e−7 to 7e−7 (from memory). */
export const WALL: Material = { k: 1.2, rho: 2300, c: 880, epsilon: 0.9 };

/** Effusivity e = √(kρc), J/(m²·K·√s). */
export const effusivity = ({ k, rho, c }: Material): number => Math.sqrt(k * rho * c);

/** Diffusivity α = k/(ρc), m²/s. */
export const diffusivity = ({ k, rho, c }: Material): number => k / (rho * c);

/** Temperature of the face where two thick bodies touch, °C: T_c = (e₁T₁ + e₂T₂)/(e₁ + e₂) (textbook). */
export function contactTemperature(a: Material, atA: number, b: Material, atB: number): number {
  const [e1, e2] = [effusivity(a), effusivity(b)];
  return (e1 * atA + e2 * atB) / (e1 + e2);
}
