/**
 * What a pizza draws a stone down by, as this grill's probe shows it. The bake of common practice (stone about 270 °C,
 * 7 to 8 min) is told by the stone at launch and has this fall in it; doses count the stone as it would stand without
 * it, so that only what is unlike a usual bake moves the times.
 */

/** First guess, °C (our own: 60 kJ drop a plate's mean by 23 °C, handbook section 7, and its surface by about twice). */
const USUAL = 40;
/** It weighs as so many pizzas. */
const WEIGHT = 2;
/** How fast the fall comes, s (our own first guess). */
const TAU = 25;
/** Only so many of the last pizzas count. */
const LATEST = 12;

/** °C by which a usual pizza draws the stone down in the end; `drops` are those of earlier ones, oldest first. */
export function usualDraw(drops: readonly number[]): number {
  const last = drops.slice(-LATEST);
  const sum = last.reduce((total, each) => total + Math.max(0, Math.min(120, each)), 0);
  return (WEIGHT * USUAL + sum) / (WEIGHT + last.length);
}

/** °C that a usual pizza has drawn `seconds` after its launch: D(1 − e^(−t/τ)). */
export const drawnBy = (seconds: number, draw: number): number =>
  draw * (1 - Math.exp(-Math.max(0, seconds) / TAU));
