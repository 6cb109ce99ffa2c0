import type { PlanSettings } from '../../../shared/evening/evening.ts';
import { ballGramsOf } from './kitchen.ts';
import { recipeOf } from './recipe/recipe.ts';
import { ferment } from './fermentation.ts';
import { weighText } from './dough-words.ts';

/** A ball of the wanted size may come to this share of it and still make a pizza (common practice, no source). */
const MIN_BALL_SHARE = 0.65;
/** Hours that hands take with a second dough, as balls in the room at least, and in the mass at least and at most. */
const [HANDS, AS_BALLS, MIN_MASS, MAX_MASS] = [0.5, 0.75, 0.75, 6];
const QUARTER_HOURS = 0.25;

/** A second dough for so many balls that is begun now, and ripe in so many hours; null where there is no time for it. */
function secondDough(settings: PlanSettings, pizzas: number, hours: number): string | null {
  const inMass = Math.min(MAX_MASS, Math.floor((hours - HANDS - AS_BALLS) / QUARTER_HOURS) * QUARTER_HOURS);
  if (inMass < MIN_MASS) return null;
  const second: PlanSettings = {
    ...settings,
    pizzas,
    bulkHours: inMass,
    coldHours: 0,
    ballHours: AS_BALLS,
    yeastFraction: null,
    preferment: null,
    measuredC: undefined,
  };
  return weighText(recipeOf(second, ferment(second)), second).replace(/^Weigh (.*)\.$/, '$1');
}

/**
 * What to do where the dough was mixed for fewer balls than are wanted now: smaller ones while none is made, or a second
 * dough. `hours` until the first pizza beyond those that it was mixed for.
 */
export function addedBalls(settings: PlanSettings, mixed: number, hours: number, isBalled: boolean): string {
  const { pizzas } = settings;
  const size = Math.floor((mixed * ballGramsOf(settings)) / pizzas / 5) * 5;
  const second = secondDough(settings, pizzas - mixed, hours);
  const more = pizzas - mixed === 1 ? '1 more pizza' : `${pizzas - mixed} more pizzas`;
  const options = [
    !isBalled && size >= MIN_BALL_SHARE * ballGramsOf(settings) && `make ${pizzas} balls of ${size} g`,
    second && `begin a second dough now: ${second}`,
  ].filter(Boolean);
  const what =
    options.length > 0
      ? options.join(', or ')
      : 'there is no time for a second dough: share those that there are';
  return `The dough was mixed for ${mixed}; for ${more} ${what}.`;
}
