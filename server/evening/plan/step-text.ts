import { DEFAULT_TARGETS, type Band } from '../../../shared/engine.ts';
import type { Evening, PlanSettings, StepName } from '../../../shared/evening/evening.ts';
import { temperatureText, toFahrenheit } from '../../../shared/units.ts';
import { ballGramsOf, batchesOf, type Fermentation } from '../dough/kitchen.ts';
import { spoken } from '../dough/dough-notes.ts';
import type { Recipe } from '../dough/recipe/recipe.ts';
import { mixText, prefermentText, weighText } from '../dough/dough-words.ts';
import { figure } from '../arithmetic.ts';
import { startingBand } from '../stone/other-material.ts';
import { outAtMost, REFUEL_MINUTES, type Layout, type Lot } from './run-layout.ts';

/** All that the texts of the steps tell of. */
export type StepParameters = {
  settings: PlanSettings;
  recipe: Recipe;
  fermentation: Fermentation;
  fire: Evening['fire'];
  layout: Layout;
};

const degrees = ({ settings }: StepParameters, celsius: number): string =>
  temperatureText(celsius, settings.unit);

/** Hours that round to no minute are no time. */
const isNoTime = (hours: number): boolean => hours * 60 < 1;

const STEP_TEXTS: Record<StepName, (parameters: StepParameters, pizza: number) => string> = {
  preferment: ({ recipe, settings }) => prefermentText(recipe, settings),
  weigh: ({ recipe, settings }) => weighText(recipe, settings),
  mix: ({ settings, fermentation }) => mixText(settings, fermentation),
  knead: ({ settings }) => {
    const minutes = figure(settings.kneadMinutes);
    const batches = batchesOf(settings);
    if (settings.kneadMinutes < 1) return 'Mix until no dry flour is left; it is not kneaded.';
    return batches === 1
      ? `Knead for ${minutes} min.`
      : `Knead the first of ${batches} batches for ${minutes} min, then mix and knead ${batches === 2 ? 'the other' : 'each of the others'} alike; put them together.`;
  },
  bulk: (parameters) => {
    const { first, cold, coldAs } = parameters.fermentation.hours;
    if (isNoTime(first))
      return cold > 0 && coldAs === 'mass'
        ? 'Cover the dough: it goes straight into the fridge.'
        : 'No rest in one piece: go on at once.';
    return `Cover and leave for ${spoken(first)} at ${degrees(parameters, parameters.settings.roomC)}.`;
  },
  cold: (parameters) =>
    `Into the fridge (${degrees(parameters, parameters.settings.fridgeC)}) for ${spoken(parameters.fermentation.coldHours)}.`,
  warm: warmText,
  ball: ({ settings }) =>
    `Make ${settings.pizzas} ${settings.pizzas === 1 ? 'ball' : 'balls'} of ${ballGramsOf(settings)} g.`,
  rest: (parameters) => {
    const { hours } = parameters.fermentation;
    const cover = parameters.settings.pizzas === 1 ? 'Cover the ball' : 'Cover the balls';
    if (goColdAsBalls(parameters) || isNoTime(hours.balls)) return `${cover}.`;
    const later = parameters.layout.balls[0]?.pizza;
    return later === undefined
      ? `${cover}: ${spoken(hours.balls)} in the room.`
      : `${cover}. Those for ${which(1, later - 1)}: ${spoken(hours.balls)} in the room; the others in the fridge until they are called for.`;
  },
  sauce: ({ settings }) => `Make the sauce for ${pizzasText(settings.pizzas)}; keep it in the fridge.`,
  'light-fire': lightText,
  'stone-on': stoneText,
  vents: (parameters) =>
    `As the dome nears its band, ${bandText(parameters, domeBandOf(parameters.settings))}: bottom vent to ${isFierce(parameters) ? 'two thirds' : 'a third'}, top vent to match. It runs away easily and cools slowly.`,
  soak: (parameters) =>
    `The stone should be at ${bandText(parameters, stoneBandOf(parameters.settings))} by now: hold it there, vents about ${isFierce(parameters) ? 'half' : 'a quarter'}, for ${parameters.fire.soak} min until it is warm right through.`,
  toppings: toppingsText,
  refuel: ({ layout }, pizza) =>
    `Vents open first. Stone and deflector out with gloves, fill up with charcoal (${kilograms(layout.refuels.find((fill) => fill.pizza === pizza)?.grams ?? 0)}), both back in, lid shut. About ${REFUEL_MINUTES} min until pizza ${pizza}.`,
  stretch: (_, pizza) => `Stretch and top pizza ${pizza}, and leave it on the peel no longer than it must.`,
  launch: (parameters, pizza) =>
    pizza === 1
      ? `Launch pizza 1, the stone at ${bandText(parameters, stoneBandOf(parameters.settings))}; leave the vents as they hold it.`
      : `Launch pizza ${pizza}.`,
  turn: (_, pizza) => `Turn pizza ${pizza} half way round: its darker edge away from the hotter side.`,
  off: offText,
  'shut-down': () =>
    'That was the last one. Close both vents; the stone cools inside, and the grill stays outdoors.',
  'ash-out': () => 'Ash out, if the grill has been cold for 48 h: into a metal bin with a lid, outside.',
};

const { stone, dome = [235, 275] } = DEFAULT_TARGETS;
const USUAL = { stone, dome };
const stoneBandOf = ({ stoneBand, stone }: PlanSettings): Band =>
  stoneBand ?? startingBand(USUAL.stone, stone);

/** Said, or as far below the stone as usual. */
const domeBandOf = ({ domeBand, stoneBand }: PlanSettings): Band =>
  domeBand ?? (stoneBand ? [stoneBand[0] - 20, stoneBand[1] - 10] : USUAL.dome);

/** A dome over this, °C, is held by a fire that wants more air (common practice, no source). */
const FIERCE_DOME_CELSIUS = 340;
const isFierce = ({ settings }: StepParameters): boolean => domeBandOf(settings)[0] > FIERCE_DOME_CELSIUS;

function bandText({ settings: { unit } }: StepParameters, [low, high]: Band): string {
  const shown = (celsius: number): number => Math.round(unit === 'F' ? toFahrenheit(celsius) : celsius);
  return `${shown(low)} to ${shown(high)} °${unit}`;
}

export const kilograms = (grams: number): string => `${(grams / 1000).toFixed(1)} kg`;
const pizzasText = (n: number): string => `${n} ${n === 1 ? 'pizza' : 'pizzas'}`;

function lightText({ fire, layout }: StepParameters): string {
  return `Put in ${kilograms(layout.charcoal.fill)} of lump charcoal and light it, both vents and the lid open until it glows. ${Math.round(fire.lead)} min before the first launch is early enough 9 times in 10, the last ${fire.soak} min of it to warm the stone right through.`;
}

function stoneText({ settings: { stone } }: StepParameters): string {
  const gap = stone.gapMm < 1 ? 'the stone on it' : `the stone ${figure(stone.gapMm, 0)} mm above it`;
  return `Deflector in and ${gap}, so that they warm with the fire; lid shut, both vents open.`;
}

const which = (from: number, until: number): string =>
  until === from ? `pizza ${from}` : `pizzas ${from} to ${until}`;

/** The last pizza of the lot that begins with `from`. */
const untilNext = (lots: readonly Lot[], from: number, { pizzas }: PlanSettings): number =>
  (lots.find(({ pizza }) => pizza > from)?.pizza ?? pizzas + 1) - 1;

const goColdAsBalls = ({ fermentation: { hours } }: StepParameters): boolean =>
  hours.coldAs === 'balls' && hours.cold > 0;

function warmText(parameters: StepParameters, pizza: number): string {
  const { settings, layout, fermentation } = parameters;
  const { coldAs, warm, balls } = fermentation.hours;
  const until = untilNext(layout.balls, Math.max(1, pizza), settings);
  if (pizza > 0) return `Balls for ${which(pizza, until)} out of the fridge, covered.`;
  const lasts = coldAs === 'mass' ? warm : balls;
  const what =
    layout.balls.length > 0 && goColdAsBalls(parameters)
      ? `Balls for ${which(1, until)} out of the fridge, the others stay`
      : 'Out of the fridge';
  return isNoTime(lasts) ? `${what}, and go on at once.` : `${what}: ${spoken(lasts)} in the room.`;
}

function toppingsText({ settings, layout }: StepParameters, pizza: number): string {
  const from = Math.max(1, pizza);
  const until = untilNext(layout.toppings, from, settings);
  const those = which(from, until);
  const hours = outAtMost(settings) / 60;
  if (pizza > 1)
    return `Toppings for ${those} out of the fridge. What is left of the ones before is thrown away once it has been out for ${hours} h.`;
  return `Lay out the toppings for ${those}, cheese drained${until < settings.pizzas ? '; the others stay in the fridge' : ''}. No more than ${hours} h out.`;
}

function offText({ settings }: StepParameters, pizza: number): string {
  const text = `Pizza ${pizza} off: cut and share it.`;
  if (pizza === settings.pizzas) return text;
  const next = settings.recoveryMinutes < 1 ? 'at once' : `in about ${figure(settings.recoveryMinutes)} min`;
  return `${text} Brush burnt flour off the stone; the next ${next}.`;
}

export const textOf = (step: StepName, parameters: StepParameters, pizza = 0): string =>
  STEP_TEXTS[step](parameters, pizza);
