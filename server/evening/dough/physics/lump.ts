import { REFERENCE_CELSIUS, workRate } from './yeast.ts';

/** Dough: heat capacity J/kgK, density kg/m³, conductivity W/mK (published surveys, middle of their ranges). */
const [C_DOUGH, RHO_DOUGH, K_DOUGH] = [2800, 1000, 0.4];
/** Still air and radiation, W/m²K (8 to 12, textbook, recalled). */
const H_AIR_W_M2K = 9;

/**
 * Time constant, h, with which a lump of dough takes on the temperature around it: τ = m·c / (U·A), A that of a ball of
 * its volume, 1/U = 1/h + r/5k (air film, and the dough's own resistance for a lumped ball). 1.3 h for 250 g, 2.7 h
 * for 1.5 kg. Mass from 0.02 to 200 kg.
 */
export function settlingHours(kilograms: number): number {
  const volume = kilograms / RHO_DOUGH;
  const radius = ((3 * volume) / (4 * Math.PI)) ** (1 / 3);
  const area = 4 * Math.PI * radius ** 2;
  const U = 1 / (1 / H_AIR_W_M2K + radius / (5 * K_DOUGH));
  return (kilograms * C_DOUGH) / (U * area) / 3600;
}

/** A stretch of time in one place: hours, how warm it is there, °C, and what lies in one piece, kg. */
export type Stay = { hours: number; ambientC: number; kilograms: number };

/** Dough temperature, °C, after a stay that it began at `startC`: T = T_a + (T₀ − T_a)·e^(−t/τ). */
export const endOf = ({ hours, ambientC, kilograms }: Stay, startC: number): number =>
  ambientC + (startC - ambientC) * Math.exp(-hours / settlingHours(kilograms));

/** Hours after which a lump comes from `startC` to `wantC`; Infinity where it never does. */
export function hoursTo(wantC: number, startC: number, ambientC: number, kilograms: number): number {
  if ((wantC - startC) * (ambientC - startC) <= 0) return wantC === startC ? 0 : Infinity;
  const left = (ambientC - wantC) / (ambientC - startC);
  return left <= 0 ? Infinity : -settlingHours(kilograms) * Math.log(left);
}

/** Slices of the sum, as a share of the time constant. */
const SLICE_SHARE = 0.1;
/** After so many time constants the dough is as warm as its place. */
const SETTLED_TIME_CONSTANTS = 10;

/** Work in a stay, h at 25 °C: ∫ rate(T) dt / rate(25), by the midpoint rule on a grid that starts with the stay. */
export function workIn(stay: Stay, startC: number): number {
  const tau = settlingHours(stay.kilograms);
  const changing = Math.min(stay.hours, SETTLED_TIME_CONSTANTS * tau);
  const step = SLICE_SHARE * tau;
  let done = workRate(stay.ambientC) * (stay.hours - changing);
  for (let from = 0; from < changing; from += step) {
    const width = Math.min(step, changing - from);
    done += workRate(endOf({ ...stay, hours: from + width / 2 }, startC)) * width;
  }
  return done / workRate(REFERENCE_CELSIUS);
}

/** Stays one after another: work in all, h at 25 °C, and the dough's temperature at each start and at the end. */
export function follow(stays: readonly Stay[], startC: number): { work: number; temperatures: number[] } {
  const temperatures = [startC];
  let [work, now] = [0, startC];
  for (const stay of stays) {
    work += workIn(stay, now);
    now = endOf(stay, now);
    temperatures.push(now);
  }
  return { work, temperatures };
}
