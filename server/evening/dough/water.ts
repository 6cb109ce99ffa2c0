import type { Mixer } from '../../../shared/evening.ts';
import { figure, OutOfRange, within } from '../range.ts';

/** Middle and range of the friction of a mixer, °C in the water rule (handbook section 10, common practice). */
export const FRICTION: Record<Mixer, { middle: number; range: readonly [number, number]; label: string }> = {
  hand: { middle: 2, range: [0, 3], label: 'by hand' },
  stand: { middle: 8, range: [4, 12], label: 'home stand mixer or spiral' },
  fast: { middle: 16, range: [12, 20], label: 'fast planetary mixer or food processor' },
};

/** All °C. `preferment` only where there is one. */
export type Temperatures = {
  dough: number;
  flour: number;
  room: number;
  friction: number;
  preferment?: number;
};

/** Water out of this range, °C, is no water for dough: ice below, dead yeast above (from about 49 °C). */
export const WATER_RANGE = [0, 45] as const;
/** Below this, °C, it takes ice: the tap seldom gives colder (common practice, no source). */
export const ICE_BELOW = 10;

const sumKnown = (t: Temperatures): number => t.flour + t.room + t.friction + (t.preferment ?? 0);
const factor = (t: Temperatures): number => (t.preferment === undefined ? 3 : 4);

/**
 * Water for the dough temperature wanted, °C. T_w = 3·T_dough − T_flour − T_room − F; with a preferment
 * 4·T_dough less its temperature too (handbook section 10).
 * @throws OutOfRange where the water would be below 0 or above 45 °C, with the dough temperatures that can be had
 */
export function waterFor(t: Temperatures): number {
  const water = factor(t) * t.dough - sumKnown(t);
  const [low, high] = WATER_RANGE;
  if (water >= low && water <= high) return water;
  const reach = WATER_RANGE.map((each) => figure((each + sumKnown(t)) / factor(t)));
  const cure =
    water < low ? 'cool the flour, or accept a warmer dough' : 'warm the flour, or accept a cooler dough';
  throw new OutOfRange(
    `The water would have to be ${figure(water)} °C, but it can be from ${low} to ${high} °C: ${cure} (from ${reach[0]} to ${reach[1]} °C can be had).`,
    'doughC',
  );
}

/** Dough that comes of that water, °C: the same rule the other way round. */
export const doughFrom = (water: number, t: Omit<Temperatures, 'dough'>): number =>
  (water + sumKnown({ ...t, dough: 0 })) / factor({ ...t, dough: 0 });

/** Friction of a mixer from one dough that was measured, °C. F = 3·T_dough,found − T_flour − T_room − T_water. */
export function frictionFrom(found: number, flour: number, room: number, water: number): number {
  return within('The friction', 3 * found - flour - room - water, [-5, 30], '°C');
}

/** Heat capacities, kJ/kgK (handbook section 10). */
const C_FLOUR = 1.8;
const C_WATER = 4.19;
/** Heat of melting ice, kJ/kg (any physics text; recalled). */
const MELTING = 334;

/**
 * Temperature of flour and water mixed, °C, by their heat balance: Σ m·c·T / Σ m·c. Without friction and without
 * what the room takes, so a cross-check of the rule and no replacement. Masses in g.
 */
export function mixTemperature(flourGrams: number, flour: number, waterGrams: number, water: number): number {
  const [a, b] = [flourGrams * C_FLOUR, waterGrams * C_WATER];
  return (a * flour + b * water) / (a + b);
}

/**
 * Ice out of the water, g, so that tap water of `tap` °C comes to `water` °C as the ice melts:
 * m_ice·(L + c·T_w) = (m − m_ice)·c·(T_tap − T_w). 0 where the tap is cold enough.
 */
export function iceFor(waterGrams: number, water: number, tap = 15): number {
  const given = C_WATER * Math.max(0, tap - water);
  return (waterGrams * given) / (MELTING + C_WATER * water + given);
}
