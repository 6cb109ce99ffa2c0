/** Stefan–Boltzmann constant σ, W/(m²·K⁴) (CODATA). */
export const SIGMA = 5.670374419e-8;
const KELVIN = 273.15;

/** Black-body radiation σT⁴ of a surface at `celsius`, W/m². */
export const blackBody = (celsius: number): number => SIGMA * (celsius + KELVIN) ** 4;

/**
 * Radiation between two surfaces as a conductance, W/(m²·K): h = εσ(T₁² + T₂²)(T₁ + T₂), which is
 * εσ(T₁⁴ − T₂⁴)/(T₁ − T₂) without the division by zero.
 */
export function radiantConductance(epsilon: number, celsius1: number, celsius2: number): number {
  const [t1, t2] = [celsius1 + KELVIN, celsius2 + KELVIN];
  return epsilon * SIGMA * (t1 * t1 + t2 * t2) * (t1 + t2);
}

/** Two wide parallel grey faces: ε = 1/(1/ε₁ + 1/ε₂ − 1). */
export const facing = (epsilon1: number, epsilon2: number): number => 1 / (1 / epsilon1 + 1 / epsilon2 - 1);

/** A small face inside a large enclosure: ε = 1/(1/ε₁ + (A₁/A₂)(1/ε₂ − 1)). */
export const enclosed = (epsilon1: number, epsilon2: number, areaRatio: number): number =>
  1 / (1 / epsilon1 + areaRatio * (1 / epsilon2 - 1));

/** Conductivity of air between hot faces, W/(m·K), about 320 °C (from memory). */
const K_AIR = 0.045;

/**
 * Conductance across an air gap of `gap` metres, W/(m²·K): conduction k_air/d beside radiation (textbook).
 * A stone that lies on its deflector still has a film of air: below 0.2 mm counts as 0.2 mm.
 */
export const airGapConductance = (gap: number, epsilon: number, celsius1: number, celsius2: number): number =>
  K_AIR / Math.max(gap, 0.0002) + radiantConductance(epsilon, celsius1, celsius2);
