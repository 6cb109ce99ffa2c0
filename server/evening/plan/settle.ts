import type { PlanSettings } from '../../../shared/evening.ts';
import { ballFor, exactMasses, weighable } from '../dough/masses.ts';
import { doughFrom, FRICTION, ICE_BELOW, iceFor, mixTemperature, waterFor } from '../dough/water.ts';
import { hoursFor, yeastFor, type Stay } from '../dough/yeast.ts';
import { figure, OutOfRange } from '../range.ts';

/** Up to so many hours a dough is left in the room when nothing else is said; longer ones go to the fridge. */
const ROOM_AT_MOST = 24;
/** Of a cold dough, hours in the room before and after the fridge, when nothing else is said. */
const ROOM_AROUND_COLD = 4;
const WARM_AT_MOST = 2;
/** The bulk in steps of 5 min, as people keep it. */
const BULK_STEP = 12;

/** Where the dough lies between kneading and balling, hours. */
export type Bulk = { first: number; cold: number; warm: number };

export const bulkHours = ({ first, cold, warm }: Bulk): number => first + cold + warm;

/** Splits the bulk; the time after the fridge is half of what the room gets, at most 2 h. */
function split(hours: number, cold: number): Bulk {
  const room = hours - cold;
  const warm = cold > 0 ? Math.min(WARM_AT_MOST, room / 2) : 0;
  return { first: room - warm, cold, warm };
}

export const ballGramsOf = ({ ballGrams, diameterCm }: PlanSettings): number =>
  ballGrams ?? (diameterCm === undefined ? 255 : ballFor(diameterCm));

/** The stays of a bulk, all the dough in one piece. */
export function staysOf(bulk: Bulk, settings: PlanSettings): Stay[] {
  const kilograms = Math.max(0.05, (settings.pizzas * ballGramsOf(settings)) / 1000);
  const stay = (hours: number, ambientC: number): Stay => ({ hours, ambientC, kilograms });
  return [
    stay(bulk.first, settings.roomC),
    stay(bulk.cold, settings.fridgeC),
    stay(bulk.warm, settings.roomC),
  ].filter(({ hours }) => hours > 0);
}

function coldOf({ coldHours, bulkHours, yeastFraction }: PlanSettings): number {
  if (coldHours !== undefined) return coldHours;
  return yeastFraction === null && bulkHours > ROOM_AT_MOST ? bulkHours - ROOM_AROUND_COLD : 0;
}

/**
 * Yeast from the time, or the time from the yeast: the one that was not given.
 * @throws OutOfRange where the fridge takes more than the whole time, or no yeast or time within range does it
 */
export function ferment(settings: PlanSettings): { bulk: Bulk; yeastFraction: number } {
  const cold = coldOf(settings);
  const { yeast, yeastFraction, doughC } = settings;
  if (yeastFraction === null) {
    if (cold > settings.bulkHours)
      throw new OutOfRange(
        `The ${figure(cold)} h in the fridge are part of the bulk, which is only ${figure(settings.bulkHours)} h: make the bulk longer.`,
        'coldHours',
      );
    const bulk = split(settings.bulkHours, cold);
    return { bulk, yeastFraction: yeastFor(staysOf(bulk, settings), doughC, yeast) };
  }
  const stays = (hours: number): Stay[] => staysOf(split(hours, cold), settings);
  const hours = hoursFor(yeastFraction, yeast, stays, doughC, Math.max(1, cold));
  return { bulk: split(Math.max(Math.round(hours * BULK_STEP) / BULK_STEP, cold), cold), yeastFraction };
}

export function massesOf(settings: PlanSettings, yeastFraction: number) {
  const parts = {
    hydration: settings.hydration,
    salt: settings.saltFraction,
    yeast: yeastFraction,
    oil: settings.oilFraction,
    sugar: settings.sugarFraction,
  };
  const amount = { pizzas: settings.pizzas, ballGrams: ballGramsOf(settings) };
  return weighable(exactMasses(parts, amount, settings.wasteFraction));
}

const temperatures = (settings: PlanSettings, dough: number) => ({
  dough,
  flour: settings.flourC ?? settings.roomC,
  room: settings.roomC,
  friction: settings.frictionC ?? FRICTION[settings.mixer].middle,
  ...(settings.prefermentC !== undefined && { preferment: settings.prefermentC }),
});

/** Water, °C to a tenth, for the dough temperature wanted. @throws OutOfRange as `waterFor` does */
export const waterOf = (settings: PlanSettings, doughC = settings.doughC): number =>
  Math.round(waterFor(temperatures(settings, doughC)) * 10) / 10;

/** The dough temperature, °C, that water of this temperature gives. */
export const doughOf = (settings: PlanSettings, waterC: number): number =>
  doughFrom(waterC, temperatures(settings, 0));

/** How far rule and heat balance may part before it is said, °C. */
const APART = 4;

/** What is to be said of the water: ice, warmth, and where rule and heat balance part. Sentences. */
export function waterNotes(
  settings: PlanSettings,
  waterC: number,
  masses: { flourGrams: number; waterGrams: number },
): string[] {
  const { flour, friction } = temperatures(settings, settings.doughC);
  const notes: string[] = [];
  if (waterC < ICE_BELOW)
    notes.push(
      `Water of ${figure(waterC)} °C is ice water: from a tap of 15 °C, replace ${figure(iceFor(masses.waterGrams, waterC), 0)} g of it by ice (heat balance).`,
    );
  if (waterC > 40)
    notes.push(
      'Water above 40 °C: let the flour go in before the yeast, which is harmed from about 49 °C (lay sources).',
    );
  // A third of the friction is what really warms the dough: the rule takes three temperatures for one.
  const balance = mixTemperature(masses.flourGrams, flour, masses.waterGrams, waterC) + friction / 3;
  if (settings.prefermentC === undefined && Math.abs(balance - settings.doughC) > APART)
    notes.push(
      `The water rule is far from the heat balance here, which gives a dough of ${figure(balance, 0)} °C: measure the dough after kneading.`,
    );
  return notes;
}
