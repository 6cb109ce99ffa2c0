import type { YeastSolution } from '../../../shared/evening/dough.ts';
import type { PlanSettings, Yeast } from '../../../shared/evening/evening.ts';
import { temperatureText } from '../../../shared/units.ts';
import { figure } from '../range.ts';
import { kitchenOf } from './kitchen.ts';
import { solutionOf, type Recipe } from './recipe/recipe.ts';
import type { Fermentation } from './schedule.ts';

export const YEAST_NAMES: Record<Yeast, string> = {
  fresh: 'fresh yeast',
  'active-dry': 'active dry yeast',
  instant: 'instant yeast',
};

const whole = (grams: number): string => figure(grams, grams < 20 ? 1 : 0);

/** How yeast too little for a kitchen scale is weighed; empty where it can be weighed. */
function bySolution(solution: YeastSolution | null): string {
  if (!solution) return '';
  const { yeastGrams, waterGrams, takeGrams } = solution;
  return ` Too little yeast to weigh: stir ${yeastGrams} g into ${waterGrams} g of water, and use ${takeGrams} g of that in place of ${takeGrams} g of the water.`;
}

/** What is weighed on the day: all the dough less what is in its preferment. */
export function weighText(recipe: Recipe, settings: PlanSettings): string {
  const { dough, preferment } = recipe;
  const own = preferment ?? { flourGrams: 0, waterGrams: 0, yeastGrams: 0 };
  const yeast = dough.yeastGrams - own.yeastGrams;
  const parts = [
    ...(preferment ? [`all of the ${preferment.kind} (${whole(preferment.totalGrams)} g)`] : []),
    `${whole(dough.flourGrams - own.flourGrams)} g flour`,
    `${whole(dough.waterGrams - own.waterGrams)} g water`,
    `${figure(dough.saltGrams)} g salt`,
    ...(yeast > 0.004 ? [`${figure(yeast, 2)} g ${YEAST_NAMES[settings.yeast]}`] : []),
    ...(dough.oilGrams === undefined ? [] : [`${figure(dough.oilGrams)} g oil`]),
    ...(dough.sugarGrams === undefined ? [] : [`${figure(dough.sugarGrams)} g sugar`]),
  ];
  return `Weigh ${parts.join(', ')}.${bySolution(recipe.solution)}`;
}

/** How the preferment is set; empty without one. */
export function prefermentText({ preferment }: Recipe, settings: PlanSettings): string {
  if (!preferment) return '';
  const { kind, flourGrams, waterGrams, yeastGrams, totalGrams, hours, celsius } = preferment;
  const place = `${figure(hours)} h at ${temperatureText(celsius, settings.unit)}`;
  const parts = `${whole(flourGrams)} g flour and ${whole(waterGrams)} g water`;
  if (kind === 'sourdough')
    return `Feed the sourdough so that ${whole(totalGrams)} g of it are ripe for the dough, ${parts} in it, and some is left to go on with: ${place}.`;
  return `Stir the ${kind}: ${parts}, ${figure(yeastGrams, 2)} g ${YEAST_NAMES[settings.yeast]}; cover, ${place}.${bySolution(solutionOf(yeastGrams))}`;
}

/** With which water the dough is mixed, and what it comes to. */
export function mixText(settings: PlanSettings, { waterC, iceGrams, doughC }: Fermentation): string {
  const degrees = (celsius: number): string => temperatureText(celsius, settings.unit);
  const ice =
    iceGrams > 0
      ? `, ${iceGrams} g of it as ice and the rest from the tap at ${degrees(kitchenOf(settings).tapC)}`
      : '';
  const wake =
    settings.yeast === 'active-dry'
      ? ` Wake the yeast in a spoonful of the water at ${degrees(40)} to ${degrees(46)} first.`
      : '';
  const comes = settings.measuredC === undefined ? 'should come to' : 'came to';
  return `Mix with water of ${degrees(waterC)}${ice}; the dough ${comes} ${degrees(doughC)}.${wake}`;
}
