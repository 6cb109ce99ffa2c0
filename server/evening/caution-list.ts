import type { LiveCaution } from '../../shared/evening/evening.ts';
import { temperatureText, type Unit } from '../../shared/units.ts';

const FIRST = "Your grill maker's manual and local codes come first.";

/**
 * Every caution: `head` for a small label, the whole in `text`, `source` where it comes from. General ones: the maker's
 * manual, local codes and licensed practice go before them. `id` is what an acknowledgement is kept under; `{32}` in a
 * text is 32 °C, to be said in the reader's unit: `cautionIn`.
 */
const LIST = {
  'lid-hot-starved': {
    head: 'Vents before the lid',
    text: `Before the lid: open the vents, wait 10 s, lift it a hand's breadth, then open; face and arms aside, children well back. A hot fire that was short of air can flare up as air rushes in. ${FIRST}`,
    source: 'common practice; two public grilling-safety pages that agree',
  },
  smoke: {
    head: 'Outdoors only: carbon monoxide',
    text: `Outdoors only: charcoal gives off carbon monoxide. Never in a house, garage, tent or vehicle, not even with a window open. ${FIRST}`,
    source: 'US Consumer Product Safety Commission, document 5012 and release 99-051',
  },
  place: {
    head: '3 m clear, children back',
    text: `3 m from buildings, balconies and all else that burns as they do; children, pets and small things that burn 1 m away. ${FIRST}`,
    source: 'model fire code 308.1.4 and fire-department guidance; the local code rules',
  },
  'no-fluids': {
    head: 'No fuels, no fluids',
    text: `Never petrol, spirits or kerosene, and no lighter fluid on coals that are warm: it flashes back. Firelighters or an electric starter do. ${FIRST}`,
    source: 'public fire-safety pages on charcoal grills; common practice',
  },
  charcoal: {
    head: 'Charcoal: hot stone and deflector',
    text: `Adding charcoal: stone and deflector are as hot as the fire. Gloves made for it; set them on something dry that can't burn or crack, out of the way of children; no fluid on the coals. ${FIRST}`,
    source: 'common practice; public fire-safety pages on charcoal grills',
  },
  'first-heat': {
    head: 'New stone: slowly',
    text: `A new or washed stone: let it dry for a day, then keep the fire small for its first half hour. Water that is shut in can crack it. ${FIRST}`,
    source: 'common practice; thermal-shock estimate, textbook',
  },
  'stone-warms-with-fire': {
    head: 'Cold stone, hot grill',
    text: `Let the stone warm with the fire: put cold into a hot grill it can crack. ${FIRST}`,
    source: 'thermal-shock estimate, textbook; common practice',
  },
  'wet-on-hot-stone': {
    head: 'Nothing wet on the stone',
    text: `Nothing wet or frozen on a hot stone, and no water to cool or clean it: it can crack, and steam scalds. ${FIRST}`,
    source: 'thermal-shock estimate, textbook; common practice',
  },
  'hot-surfaces': {
    head: 'Gloves and sleeves',
    text: `All around the fire burns the skin at a touch: gloves and sleeves, no hand over a vent, and no leaning over to read a screen. ${FIRST}`,
    source: 'common practice',
  },
  grease: {
    head: 'Oil and fat near the fire',
    text: `Oil and fat burn: keep both away from the fire and the drip path clean. If they flare: lid and both vents closed if that is safe, never water; baking soda or a class B extinguisher at hand. ${FIRST}`,
    source: 'public wildfire-prevention page on grilling',
  },
  'raw-meat': {
    head: 'Raw meat: cook it first',
    text: 'Cook raw sausage, mince, poultry or fish before it goes on: a few minutes on the stone do not make it safe.',
    source: 'US Food Safety and Inspection Service chart; UK Food Standards Agency list',
  },
  'raw-flour': {
    head: 'Flour is a raw food',
    text: 'Flour is a raw food: do not taste the dough, and wash hands and boards before you touch the toppings.',
    source: 'US Food and Drug Administration guidance',
  },
  'toppings-warm': {
    head: 'Toppings: 2 h at most',
    text: 'Toppings that spoil: no more than 2 h out of the fridge, 1 h on a hot day (above {32}).',
    source: 'US Department of Agriculture two-hour rule',
  },
  'warm-coals': {
    head: 'Warm coals stay outside',
    text: `Close both vents and leave the grill outside: coals glow for days and give off carbon monoxide. Never store it indoors with warm coals. ${FIRST}`,
    source: 'US Consumer Product Safety Commission, document 5012 and release 99-051',
  },
  ash: {
    head: 'Ash: 48 h cold first',
    text: `Leave the ash in the closed grill until it has been cold for 48 h, then into a metal bin with a lid, wetted, outside and away from buildings. ${FIRST}`,
    source: "fire-department guidance; the 48 h from an insurer's page",
  },
} as const satisfies Record<string, Omit<LiveCaution, 'id'>>;
export type CautionId = keyof typeof LIST;
export const CAUTIONS: Readonly<Record<CautionId, Omit<LiveCaution, 'id'>>> = LIST;

/** A caution as it is read, temperatures in the unit. */
export const cautionIn = (id: CautionId, unit: Unit): LiveCaution => {
  const text = CAUTIONS[id].text.replace(/\{(\d+)\}/g, (_, celsius) =>
    temperatureText(Number(celsius), unit),
  );
  return { id, ...CAUTIONS[id], text };
};

export const isCautionId = (id: string): id is CautionId => Object.hasOwn(CAUTIONS, id);
