import type { DoughMasses, PlanSettings, StepName } from '../../../shared/evening.ts';
import { figure } from '../range.ts';
import { ballGramsOf, type Bulk } from './settle.ts';

/** All that the texts of the steps tell of. `lead` is minutes from lighting to the first launch. */
export type Told = {
  settings: PlanSettings;
  masses: DoughMasses;
  waterC: number;
  bulk: Bulk;
  lead: number;
};

const YEAST_NAMES = {
  fresh: 'fresh yeast',
  'active-dry': 'active dry yeast',
  instant: 'instant yeast',
} as const;

/** Hours as people say them: "2.5 h", "40 min". */
export const spoken = (hours: number): string =>
  hours < 1 ? `${Math.round(hours * 60)} min` : `${figure(hours, hours < 10 ? 2 : 0)} h`;

function weighText({ masses, settings }: Told): string {
  const parts = [
    `${figure(masses.flourGrams, 0)} g flour`,
    `${figure(masses.waterGrams, 0)} g water`,
    `${figure(masses.saltGrams)} g salt`,
    `${figure(masses.yeastGrams, 2)} g ${YEAST_NAMES[settings.yeast]}`,
    ...(masses.oilGrams === undefined ? [] : [`${figure(masses.oilGrams)} g oil`]),
    ...(masses.sugarGrams === undefined ? [] : [`${figure(masses.sugarGrams)} g sugar`]),
  ];
  return `Weigh ${parts.join(', ')}.`;
}

function mixText({ waterC, settings }: Told): string {
  const wake =
    settings.yeast === 'active-dry' ? ' Wake the yeast in a spoonful of the water at 40 to 46 °C first.' : '';
  return `Mix with water of ${figure(waterC)} °C; the dough should come to ${figure(settings.doughC)} °C.${wake}`;
}

const TEXTS: Record<StepName, (told: Told, pizza: number) => string> = {
  weigh: weighText,
  mix: mixText,
  knead: ({ settings }) => `Knead for ${figure(settings.kneadMinutes)} min.`,
  bulk: ({ bulk, settings }) => `Cover and leave for ${spoken(bulk.first)} at ${figure(settings.roomC)} °C.`,
  cold: ({ bulk, settings }) => `Into the fridge (${figure(settings.fridgeC)} °C) for ${spoken(bulk.cold)}.`,
  warm: ({ bulk }) => `Out of the fridge: ${spoken(bulk.warm)} in the room.`,
  ball: ({ settings }) =>
    `Make ${settings.pizzas} ${settings.pizzas === 1 ? 'ball' : 'balls'} of ${ballGramsOf(settings)} g.`,
  rest: ({ settings }) => `Balls rest for ${figure(settings.restMinutes)} min, covered.`,
  sauce: ({ settings }) => `Make the sauce for ${settings.pizzas}; keep it cool.`,
  'light-fire': ({ lead }) =>
    `Light the fire, ${Math.round(lead)} min before the first launch: early enough 9 times in 10.`,
  'stone-on': () => 'Put the deflector and the stone in, so that they warm with the fire.',
  soak: () => 'The stone should be in its band: hold it there until it is warm right through.',
  toppings: () => 'Lay the toppings out within reach, cheese drained.',
  stretch: (_told, pizza) => `Stretch and top pizza ${pizza}; no longer on the peel than it must.`,
  launch: (_told, pizza) => `Launch pizza ${pizza}.`,
  turn: (_told, pizza) => `Turn pizza ${pizza}.`,
  off: (_told, pizza) => `Pizza ${pizza} off.`,
  'shut-down': () => 'Close both vents; the stone cools inside.',
  'ash-out': () => 'Ash out, if it is stone cold: into a metal bin with a lid.',
};

export const textOf = (step: StepName, told: Told, pizza = 0): string => TEXTS[step](told, pizza);
