import type { Weather } from './fire-lead.ts';

/**
 * A middling ceramic body: 60 kg of 0.9 kJ/kgK, 1.6 m² outside, U 8 W/m²K in still air and 12 in wind; lump charcoal of
 * 29.5 MJ/kg. 12.4 MJ from 20 to 250 °C, then 0.36 kg/h (computed; our estimate for a grill that was never measured).
 */
const CERAMIC_BODY = { joulesPerK: 54_000, squareMetres: 1.6, u: { calm: 8, windy: 12 } } as const;
const JOULES_PER_GRAM = 29_500;

/** Grams an hour that hold the body. */
export const gramsPerHour = ({ outsideC, windy, bodyC }: Weather): number =>
  ((windy ? CERAMIC_BODY.u.windy : CERAMIC_BODY.u.calm) *
    CERAMIC_BODY.squareMetres *
    (bodyC - outsideC) *
    3600) /
  JOULES_PER_GRAM;

/** Grams from lighting on: the body's heat, half of the loss while it warms, all of it after. Minutes. */
export function burnt(weather: Weather, leadMinutes: number, runMinutes: number): number {
  const body = (CERAMIC_BODY.joulesPerK * (weather.bodyC - weather.outsideC)) / JOULES_PER_GRAM;
  return body + (gramsPerHour(weather) * (leadMinutes / 2 + runMinutes)) / 60;
}

/** How much this grill burns of what is reckoned: the geometric mean, one more cook counted as reckoned. */
export const factorOf = (factors: readonly number[]): number =>
  Math.exp(
    factors.slice(-15).reduce((sum, each) => sum + Math.log(each), 0) / (Math.min(15, factors.length) + 1),
  );

/** What a middling firebox takes, and what must still glow for more to catch, g (our estimate). */
export const FIREBOX_GRAMS = { holds: 2500, glows: 400 } as const;
