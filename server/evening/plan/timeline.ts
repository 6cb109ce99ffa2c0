import type { EveningStep, PlanSettings, StepName } from '../../../shared/evening/evening.ts';
import { batchesOf } from '../dough/kitchen.ts';
import { cautionIn, type CautionId } from '../caution-list.ts';
import { bakeOf, REFUEL_MINUTES, type Lot } from './run-layout.ts';
import { textOf, type StepParameters } from './step-text.ts';

const MINUTE_MS = 60_000;

/** Minutes that things take beside what the settings say (common practice, no source). */
const STEP_MINUTES = {
  weigh: 10,
  mix: 5,
  /** Before the fire is lit, which wants the hands for itself. */
  sauceAhead: 20,
  sauce: 10,
  stretchAhead: 4,
  /** Until the coals glow. */
  stoneAfterLighting: 12,
  /** Before the soak: the dome is near its place, and the vents tame it. */
  ventsAhead: 15,
  /** From off to the plate: the cheese sets, the slices are cut. */
  serve: 1.5,
  shutAfter: 2,
  /** Up to a day until the grill is cold (ours), then 48 h: an insurer's page on charcoal. So it is no hour of the night. */
  ashAfter: (24 + 48) * 60,
} as const;

/** Balling takes about 1.5 min a ball and 3 min around it. Minutes. */
const balling = (pizzas: number): number => 3 + 1.5 * pizzas;

/** In batches, but for the first each is also mixed in that time. Minutes. */
const kneading = (settings: PlanSettings): number =>
  settings.kneadMinutes + (batchesOf(settings) - 1) * (settings.kneadMinutes + STEP_MINUTES.mix);

type Raw = { step: StepName; pizza?: number; minutes: number };

/** What is done one after the other with the dough, and how long each lasts, min: the last of it ends with the launch. */
function doughChain({ settings, recipe, fermentation }: StepParameters): [StepName, number][] {
  const { first, cold, warm, balls, coldAs } = fermentation.hours;
  const isCold = (as: typeof coldAs): boolean => coldAs === as && cold > 0;
  const chain: [StepName, minutes: number | false][] = [
    ['preferment', recipe.preferment !== null && recipe.preferment.hours * 60],
    ['weigh', STEP_MINUTES.weigh],
    ['mix', STEP_MINUTES.mix],
    ['knead', kneading(settings)],
    ['bulk', first * 60],
    ['cold', isCold('mass') && cold * 60],
    ['warm', isCold('mass') && warm * 60],
    ['ball', balling(settings.pizzas)],
    ['rest', isCold('balls') ? 0 : Math.max(balls * 60, STEP_MINUTES.stretchAhead)],
    ['cold', isCold('balls') && cold * 60],
    ['warm', isCold('balls') && balls * 60],
  ];
  return chain.flatMap(([step, minutes]): [StepName, number][] =>
    minutes === false ? [] : [[step, minutes]],
  );
}

/** Steps so placed that each lasts as long as it takes and the last ends at 0 min. */
function endingAtLaunch(chain: readonly [StepName, number][]): Raw[] {
  let at = 0;
  return chain
    .toReversed()
    .map(([step, lasts]) => ({ step, minutes: (at -= lasts) }))
    .reverse();
}

/** Before the fire, not while the hands make balls, and never as the first of the evening's work. */
function sauceAt(dough: readonly Raw[], lit: number): number {
  const at = (step: StepName): number => dough.find((each) => each.step === step)?.minutes ?? -Infinity;
  const wanted = lit - STEP_MINUTES.sauceAhead;
  const isBalling = at('ball') - STEP_MINUTES.sauce < wanted && wanted < at('rest');
  const free = isBalling && at('rest') + STEP_MINUTES.sauce <= lit ? at('rest') : wanted;
  return Math.max(free, dough[0]?.minutes ?? -Infinity);
}

/** Steps of the fire and of dough and toppings, minutes against the first launch. */
function before(parameters: StepParameters): Raw[] {
  const { fire, layout } = parameters;
  const toSoak = fire.lead - fire.soak;
  const lot =
    (step: StepName) =>
    (lot: Lot): Raw => ({
      step,
      ...(lot.pizza > 1 && { pizza: lot.pizza }),
      minutes: lot.at,
    });
  const dough = endingAtLaunch(doughChain(parameters));
  return [
    ...dough,
    { step: 'sauce', minutes: sauceAt(dough, -fire.lead) },
    { step: 'light-fire', minutes: -fire.lead },
    { step: 'stone-on', minutes: -fire.lead + Math.min(STEP_MINUTES.stoneAfterLighting, toSoak / 3) },
    { step: 'vents', minutes: -fire.soak - Math.min(STEP_MINUTES.ventsAhead, toSoak / 3) },
    { step: 'soak', minutes: -fire.soak },
    ...layout.toppings.map(lot('toppings')),
    ...layout.balls.map(lot('warm')),
  ];
}

/** Steps of each pizza, minutes against the first launch. */
function run({ settings, layout }: StepParameters): Raw[] {
  return layout.launches.flatMap((launch, i): Raw[] => {
    const pizza = i + 1;
    const { turn, off } = bakeOf(settings, pizza);
    return [
      ...(layout.refuels.some((fill) => fill.pizza === pizza)
        ? [{ step: 'refuel', pizza, minutes: launch - REFUEL_MINUTES } as const]
        : []),
      { step: 'stretch', pizza, minutes: launch - STEP_MINUTES.stretchAhead },
      { step: 'launch', pizza, minutes: launch },
      ...(turn === null ? [] : [{ step: 'turn', pizza, minutes: launch + turn } as const]),
      { step: 'off', pizza, minutes: launch + off },
    ];
  });
}

const after = ({ layout: { lastOff } }: StepParameters): Raw[] => [
  { step: 'shut-down', minutes: lastOff + STEP_MINUTES.shutAfter },
  { step: 'ash-out', minutes: lastOff + STEP_MINUTES.shutAfter + STEP_MINUTES.ashAfter },
];

const CAUTIONS_OF: Partial<Record<StepName, (settings: PlanSettings, pizza?: number) => CautionId[]>> = {
  weigh: () => ['raw-flour'],
  'light-fire': () => ['smoke', 'place', 'no-fluids'],
  'stone-on': () => ['stone-warms-with-fire'],
  refuel: () => ['charcoal', 'lid-hot-starved'],
  toppings: ({ rawMeat }) => (rawMeat ? ['raw-meat', 'toppings-warm'] : ['toppings-warm']),
  launch: (_settings, pizza) => (pizza === 1 ? ['lid-hot-starved', 'hot-surfaces'] : []),
  'shut-down': () => ['warm-coals', 'wet-on-hot-stone'],
  'ash-out': () => ['ash'],
};

const cautionsOf = (step: StepName, settings: PlanSettings, pizza?: number) =>
  (CAUTIONS_OF[step]?.(settings, pizza) ?? []).map((id) => cautionIn(id, settings.unit));

/** An instant in ms as people write it in UTC, to the second. */
export const utc = (ms: number): string => `${new Date(ms).toISOString().slice(0, 19)}Z`;

/**
 * The steps in time order, worked back from serving: the first pizza comes off and is cut by `serveAt`, so its launch
 * lies before it. All arithmetic is on instants, so that no change of the clocks matters.
 */
export function timeline(parameters: StepParameters): EveningStep[] {
  const { settings } = parameters;
  const first = Date.parse(settings.serveAt) - (bakeOf(settings, 1).off + STEP_MINUTES.serve) * MINUTE_MS;
  return [...before(parameters), ...run(parameters), ...after(parameters)]
    .sort((a, b) => a.minutes - b.minutes)
    .map(({ step, pizza, minutes }) => ({
      id: pizza === undefined ? step : `${step}:${pizza}`,
      step,
      ...(pizza !== undefined && { pizza }),
      at: utc(first + Math.round(minutes * 60) * 1000),
      text: textOf(step, parameters, pizza),
      done: false,
      cautions: cautionsOf(step, settings, pizza),
    }));
}
