/**
 * Celsius inside, converted once at the edge (definition of the units). A temperature shifts by 32 °F; a difference, a
 * rate, a tolerance does not, so there are two functions and no third.
 */

/** A temperature, °C → °F. */
export const toFahrenheit = (celsius: number): number => (celsius * 9) / 5 + 32;

/** A temperature, °F → °C. */
export const fromFahrenheit = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;

/** A difference or rate, °C → °F: 5 °C/min is 9 °F/min. */
export const differenceToFahrenheit = (celsius: number): number => (celsius * 9) / 5;

/** 0 °C in kelvin. */
export const ZERO_CELSIUS_K = 273.15;

/** The lowest and highest temperature, °C, that a reading may claim: absolute zero, and above any charcoal fire. */
export const LOWEST_CELSIUS = -273.15;
export const HIGHEST_CELSIUS = 1800;

export const UNITS = ['C', 'F'] as const;
export type Unit = (typeof UNITS)[number];

/** A temperature as text, in whole degrees by default: "25 °C", "77 °F". Converted once, from Celsius. */
export const temperatureText = (celsius: number, unit: Unit, digits = 0): string =>
  `${Number((unit === 'F' ? toFahrenheit(celsius) : celsius).toFixed(digits))} °${unit}`;

/** A difference or rate as texts say it: "5 °C", "9 °F". */
export const differenceText = (celsius: number, unit: Unit, digits = 0): string =>
  `${Number((unit === 'F' ? differenceToFahrenheit(celsius) : celsius).toFixed(digits))} °${unit}`;
