import type { EveningStep, PlanSettings, StepName } from '../../../shared/evening.ts';
import { CAUTIONS, type CautionId } from '../cautions.ts';
import { soakSeconds } from '../stone/setting.ts';
import { textOf, type Told } from './text.ts';

const MINUTE = 60_000;

/** Minutes that things take beside what the settings say (common practice, no source). */
const TAKES = {
  weigh: 10,
  mix: 5,
  sauceAhead: 90,
  toppingsAhead: 25,
  stretchAhead: 4,
  stoneAfterLighting: 10,
  /** Beside what the stone needs to be warm right through. */
  soak: 5,
  /** From off to the plate: the cheese sets, the slices are cut. */
  serve: 1.5,
  shutAfter: 2,
  ashAfter: 24 * 60,
} as const;

/** Balling takes about 1.5 min a ball and 3 min around it. Minutes. */
const balling = (pizzas: number): number => 3 + 1.5 * pizzas;

/** Turn and off after the launch, min; the turn is due at 210 of 450 s unless said (common practice, no source). */
export function bakeOf(settings: PlanSettings): { turn: number; off: number } {
  const off = settings.bakeMinutes;
  return { turn: Math.min(settings.turnMinutes ?? (off * 210) / 450, off), off };
}

type Raw = { step: StepName; pizza?: number; minutes: number };

/** Steps of the fire and of dough and toppings, minutes against the first launch. */
function before(told: Told): Raw[] {
  const { settings, bulk, lead } = told;
  const { material, thicknessMm } = settings.stone;
  const soak = TAKES.soak + Math.round(soakSeconds(material, thicknessMm) / 60);
  const stretch = -TAKES.stretchAhead;
  const rest = stretch - settings.restMinutes;
  const ball = rest - balling(settings.pizzas);
  const warm = ball - bulk.warm * 60;
  const cold = warm - bulk.cold * 60;
  const start = cold - bulk.first * 60;
  const mix = start - settings.kneadMinutes - TAKES.mix;
  const inFridge: Raw[] =
    bulk.cold > 0
      ? [
          { step: 'cold', minutes: cold },
          { step: 'warm', minutes: warm },
        ]
      : [];
  return [
    { step: 'weigh', minutes: mix - TAKES.weigh },
    { step: 'mix', minutes: mix },
    { step: 'knead', minutes: mix + TAKES.mix },
    { step: 'bulk', minutes: start },
    ...inFridge,
    { step: 'ball', minutes: ball },
    { step: 'rest', minutes: rest },
    { step: 'sauce', minutes: -TAKES.sauceAhead },
    { step: 'light-fire', minutes: -lead },
    { step: 'stone-on', minutes: -lead + Math.min(TAKES.stoneAfterLighting, lead / 3) },
    { step: 'soak', minutes: -Math.min(soak, lead / 3) },
    { step: 'toppings', minutes: -TAKES.toppingsAhead },
  ];
}

/** Steps of each pizza, minutes against the first launch. */
function ofPizza(settings: PlanSettings, pizza: number): Raw[] {
  const { turn, off } = bakeOf(settings);
  const launch = (pizza - 1) * (off + settings.recoveryMinutes);
  return [
    { step: 'stretch', pizza, minutes: launch - TAKES.stretchAhead },
    { step: 'launch', pizza, minutes: launch },
    { step: 'turn', pizza, minutes: launch + turn },
    { step: 'off', pizza, minutes: launch + off },
  ];
}

function after(settings: PlanSettings): Raw[] {
  const { off } = bakeOf(settings);
  const last = (settings.pizzas - 1) * (off + settings.recoveryMinutes) + off;
  return [
    { step: 'shut-down', minutes: last + TAKES.shutAfter },
    { step: 'ash-out', minutes: last + TAKES.shutAfter + TAKES.ashAfter },
  ];
}

const CAUTIONS_OF: Partial<Record<StepName, (settings: PlanSettings, pizza?: number) => CautionId[]>> = {
  weigh: () => ['raw-flour'],
  'light-fire': () => ['smoke', 'place'],
  'stone-on': () => ['stone-warms-with-fire'],
  toppings: ({ rawMeat }) => (rawMeat ? ['raw-meat', 'toppings-warm'] : ['toppings-warm']),
  launch: (_settings, pizza) => (pizza === 1 ? ['lid-hot-starved', 'hot-surfaces'] : []),
  'shut-down': () => ['wet-on-hot-stone'],
  'ash-out': () => ['ash'],
};

export const cautionsOf = (step: StepName, settings: PlanSettings, pizza?: number) =>
  (CAUTIONS_OF[step]?.(settings, pizza) ?? []).map((id) => CAUTIONS[id]);

/** An instant in ms as people write it in UTC, to the second. */
export const utc = (ms: number): string => `${new Date(ms).toISOString().slice(0, 19)}Z`;

/**
 * The steps in time order, worked back from serving: the first pizza comes off and is cut by `serveAt`, so its launch
 * lies before it. All arithmetic is on instants, so that no change of the clocks matters.
 */
export function timeline(told: Told): EveningStep[] {
  const { settings } = told;
  const first = Date.parse(settings.serveAt) - (bakeOf(settings).off + TAKES.serve) * MINUTE;
  const pizzas = Array.from({ length: settings.pizzas }, (_, i) => ofPizza(settings, i + 1)).flat();
  return [...before(told), ...pizzas, ...after(settings)]
    .sort((a, b) => a.minutes - b.minutes)
    .map(({ step, pizza, minutes }) => ({
      id: pizza === undefined ? step : `${step}:${pizza}`,
      step,
      ...(pizza !== undefined && { pizza }),
      at: utc(first + Math.round(minutes * 60) * 1000),
      text: textOf(step, told, pizza),
      done: false,
      cautions: cautionsOf(step, settings, pizza),
    }));
}
