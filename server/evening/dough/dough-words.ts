import { gramsText } from '../../../shared/evening/ball.ts';
import type { YeastSolution } from '../../../shared/evening/dough.ts';
import type { PlanSettings, Yeast } from '../../../shared/evening/evening.ts';
import { temperatureText } from '../../../shared/units.ts';
import { figure } from '../arithmetic.ts';
import { kitchenOf, type Fermentation } from './kitchen.ts';
import { solutionOf, type Recipe } from './recipe/recipe.ts';

export const YEAST_NAMES: Record<Yeast, string> = {
  fresh: 'fresh yeast',
  'active-dry': 'active dry yeast',
  instant: 'instant yeast',
};

/**
 * Water and yeast as they are weighed: yeast too little for a kitchen scale comes as yeast water, whose water is counted.
 */
function waterAndYeast(
  water: number,
  yeast: number,
  solution: YeastSolution | null,
  kind: Yeast,
): [water: string, yeast: string[]] {
  const name = YEAST_NAMES[kind];
  if (!solution)
    return [`${gramsText(water)} g water`, yeast > 0.004 ? [`${gramsText(yeast)} g ${name}`] : []];
  const { yeastGrams, waterGrams, takeGrams } = solution;
  return [
    `${gramsText(water - takeGrams)} g water`,
    [`${takeGrams} g yeast water (${yeastGrams} g ${name} stirred into ${waterGrams} g of water)`],
  ];
}

/** What is weighed on the day: all the dough less what is in its preferment. */
export function weighText(recipe: Recipe, settings: PlanSettings): string {
  const { dough, preferment } = recipe;
  const own = preferment ?? { flourGrams: 0, waterGrams: 0, yeastGrams: 0 };
  const [water, yeast] = waterAndYeast(
    dough.waterGrams - own.waterGrams,
    dough.yeastGrams - own.yeastGrams,
    recipe.solution,
    settings.yeast,
  );
  const parts = [
    ...(preferment ? [`all of the ${preferment.kind} (${gramsText(preferment.totalGrams)} g)`] : []),
    `${gramsText(dough.flourGrams - own.flourGrams)} g flour`,
    water,
    `${gramsText(dough.saltGrams)} g salt`,
    ...yeast,
    ...(dough.oilGrams === undefined ? [] : [`${gramsText(dough.oilGrams)} g oil`]),
    ...(dough.sugarGrams === undefined ? [] : [`${gramsText(dough.sugarGrams)} g sugar`]),
  ];
  return `Weigh ${parts.join(', ')}.`;
}

/** How the preferment is set; empty without one. */
export function prefermentText({ preferment }: Recipe, settings: PlanSettings): string {
  if (!preferment) return '';
  const { kind, flourGrams, waterGrams, yeastGrams, totalGrams, hours, celsius } = preferment;
  const place = `${figure(hours)} h at ${temperatureText(celsius, settings.unit)}`;
  if (kind === 'sourdough')
    return `Feed the sourdough so that ${gramsText(totalGrams)} g of it are ripe for the dough, ${gramsText(flourGrams)} g flour and ${gramsText(waterGrams)} g water in it, and some is left to go on with: ${place}.`;
  const parts = waterAndYeast(waterGrams, yeastGrams, solutionOf(yeastGrams, waterGrams), settings.yeast);
  return `Stir the ${kind}: ${[`${gramsText(flourGrams)} g flour`, ...parts.flat()].join(', ')}; cover, ${place}.`;
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
