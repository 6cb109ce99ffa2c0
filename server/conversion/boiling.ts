import { ZERO_CELSIUS_K } from '../../shared/units.ts';

/** Standard atmosphere, ISO 2533: sea level 288.15 K, 1013.25 hPa, 6.5 K/km. */
const SEA_LEVEL_PA = 101_325;
const SEA_LEVEL_K = 288.15;
const LAPSE_K_M = 0.0065;
const BAROMETRIC_EXPONENT = 5.25588;

/** Share of the pressure at sea level that is left at `metres`: (1 − 0.0065·H/288.15)^5.25588. */
const shareAt = (metres: number): number => (1 - (LAPSE_K_M * metres) / SEA_LEVEL_K) ** BAROMETRIC_EXPONENT;

/** Pressure of the standard atmosphere at an altitude, Pa. −500…11 000 m. Weather moves it by ±3 %. */
export const standardPressure = (metres: number): number => SEA_LEVEL_PA * shareAt(metres);

/** Pressure where one stands, Pa, from what a weather service reports, which is reduced to sea level. */
export const stationPressure = (seaLevelPa: number, metres: number): number => seaLevelPa * shareAt(metres);

/** IAPWS-IF97, region 4, table 34; n₁ … n₁₀. Recalled, and held by the official check values of equation 31 (table 36). */
const [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7,
  0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

/** Saturation temperature, K, at a pressure in MPa, 0.000611…22.064 (IAPWS-IF97 equation 31). */
export function saturationTemperature(p: number): number {
  const β = p ** 0.25;
  const E = β ** 2 + n3 * β + n6;
  const F = n1 * β ** 2 + n4 * β + n7;
  const G = n2 * β ** 2 + n5 * β + n8;
  const D = (2 * G) / (-F - Math.sqrt(F ** 2 - 4 * E * G));
  return (n10 + D - Math.sqrt((n10 + D) ** 2 - 4 * (n9 + n10 * D))) / 2;
}

/** What water boils at, °C, under a pressure in Pa. */
export const boilingPoint = (pascal: number): number => saturationTemperature(pascal / 1e6) - ZERO_CELSIUS_K;
