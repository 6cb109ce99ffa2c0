import type { Caution } from '../../shared/evening.ts';

const FIRST = "Your grill maker's manual and local codes come first.";

/**
 * Cautions by the moment at which they matter, from the handbook's section 14, where the sources are listed. General
 * ones: the maker's manual, local codes and licensed practice go before them. `id` is what a dismissal is kept under.
 */
export const CAUTIONS = {
  smoke: {
    id: 'smoke',
    text: `Charcoal gives off carbon monoxide: burn it outdoors only, never in a house, garage or tent, not even with a window open. ${FIRST}`,
    source: 'US Consumer Product Safety Commission, document 5012',
  },
  place: {
    id: 'place',
    text: `Keep the grill 3 m from anything that burns as a building does, children and small things that burn 1 m away. ${FIRST}`,
    source: 'model fire code 308.1.4 and fire-department guidance; local code rules',
  },
  'lid-hot-starved': {
    id: 'lid-hot-starved',
    text: `Before you lift the lid: open both vents, wait 5 s; lift it 3 cm, wait 3 s; then open it with face and arms aside. A hot fire that was short of air can flare. ${FIRST}`,
    source: 'grilling-safety pages (common practice)',
  },
  'stone-warms-with-fire': {
    id: 'stone-warms-with-fire',
    text: `Let the stone warm with the fire: put cold into a hot grill it can crack. ${FIRST}`,
    source: 'thermal-shock estimate, textbook; common practice',
  },
  'wet-on-hot-stone': {
    id: 'wet-on-hot-stone',
    text: `Nothing wet or frozen on a hot stone, and no water to cool or clean it: it can crack. ${FIRST}`,
    source: 'thermal-shock estimate, textbook; common practice',
  },
  'raw-meat': {
    id: 'raw-meat',
    text: 'Cook raw sausage, mince or chicken before it goes on: a few minutes on the stone do not make it safe.',
    source: 'US Food Safety and Inspection Service chart; UK Food Standards Agency list',
  },
  'raw-flour': {
    id: 'raw-flour',
    text: 'Flour is a raw food: do not taste the dough, and wash hands and boards before you touch the toppings.',
    source: 'US Food and Drug Administration guidance',
  },
  'toppings-warm': {
    id: 'toppings-warm',
    text: 'Perishable toppings: no more than 2 h out of the fridge, 1 h where it is above 32 °C.',
    source: 'US Department of Agriculture two-hour rule',
  },
  'hot-surfaces': {
    id: 'hot-surfaces',
    text: 'Everything around the fire is 250 °C and more: gloves and sleeves, and no leaning over it to read a screen.',
    source: 'common practice',
  },
  grease: {
    id: 'grease',
    text: `If oil or cheese flares: lid and both vents closed if that is safe, never water; have baking soda or a class B extinguisher at hand. ${FIRST}`,
    source: 'public grilling-safety page',
  },
  ash: {
    id: 'ash',
    text: 'Ash stays hot for days: leave it in the closed grill or wait 48 h, then a metal bin with a lid, outside, away from buildings.',
    source: 'fire-department guidance',
  },
} as const satisfies Record<string, Caution>;
export type CautionId = keyof typeof CAUTIONS;

/** What is known at a moment of a running cook; °C. */
export type Moment = { about: 'light' | 'stone-on' | 'lid' | 'top' | 'launch' | 'off' | 'ash' } & {
  dome?: number | null;
  /** The vents are, or lately were, nearly shut. */
  starved?: boolean;
  rawMeat?: boolean;
  stone?: number | null;
};

/** Flare-ups are told of above this dome, °C (handbook section 14: one page says 260; kept lower on purpose). */
const FLARE_ABOVE = 200;
/** A stone this hot, °C, is hurt by water (the handbook's ΔT_crit of 58 to 75 °C over a room). */
const SHOCK_ABOVE = 80;

const CAN_FLARE = ({ dome, starved }: Moment): boolean =>
  starved === true && (dome ?? Infinity) > FLARE_ABOVE;

const BY_MOMENT: Record<Moment['about'], (moment: Moment) => CautionId[]> = {
  light: () => ['smoke', 'place'],
  'stone-on': ({ dome }) => ((dome ?? 0) > SHOCK_ABOVE ? ['stone-warms-with-fire'] : []),
  lid: (moment) => (CAN_FLARE(moment) ? ['lid-hot-starved'] : []),
  top: ({ rawMeat }) => [...(rawMeat ? (['raw-meat'] as const) : []), 'toppings-warm'],
  launch: (moment) => [...BY_MOMENT.lid(moment), 'hot-surfaces'],
  off: ({ stone }) => ((stone ?? 0) > SHOCK_ABOVE ? ['wet-on-hot-stone'] : []),
  ash: () => ['ash'],
};

/** Cautions for this moment, without those that were dismissed. An unknown dome counts as hot. */
export const cautionsAt = (moment: Moment, dismissed: readonly string[] = []): Caution[] =>
  BY_MOMENT[moment.about](moment)
    .filter((id) => !dismissed.includes(id))
    .map((id) => CAUTIONS[id]);
