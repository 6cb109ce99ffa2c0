import type { Material } from '../../../shared/evening/evening.ts';

/** Conductivity W/mK, density kg/m³, heat capacity J/kgK. */
type Properties = { label: string; k: number; rho: number; c: number };

/**
 * Middle of each range of published property tables (mostly from memory; no baking stone in particular). A stone of
 * yours may lie 40 % to either side in effusivity.
 */
export const MATERIAL_PROPERTIES: Record<Material, Properties> = {
  cordierite: { label: 'cordierite', k: 1.7, rho: 2000, c: 900 },
  fireclay: { label: 'fireclay brick', k: 1.0, rho: 2050, c: 960 },
  steel: { label: 'carbon steel', k: 52, rho: 7850, c: 480 },
  'cast-iron': { label: 'cast iron', k: 50, rho: 7200, c: 500 },
};

/** Effusivity e = √(kρc), J m⁻² K⁻¹ s⁻½. */
export const effusivity = ({ k, rho, c }: Omit<Properties, 'label'>): number => Math.sqrt(k * rho * c);

/** Diffusivity α = k/(ρc), m²/s. */
export const diffusivity = ({ k, rho, c }: Omit<Properties, 'label'>): number => k / (rho * c);

/** Effusivity of pizza dough: the published paper's 887 (Varlamov, Glatz & Grasso 2018; dough ranges from 600 to 1160). */
export const DOUGH_EFFUSIVITY = 887;
/** Dough at hand as it is launched, °C, where nobody says otherwise (common practice, no source). */
export const DOUGH_AT_LAUNCH_CELSIUS = 22;
