import type { Why } from '../engine.ts';
import { differenceText, temperatureText, type Unit } from '../units.ts';
import type { AlertName } from '../words.ts';

/** What stands in the words: a number as a number or a text of `why`, null where this alert is kept without it. */
type Numbers = {
  at(key: string): string | null;
  by(key: string): string | null;
  plain(key: string): string | null;
};
type Words = (numbers: Numbers, pizza: string) => string | null;

/** The sentence with its gaps filled, null where one of them is not known. */
const filled = (strings: TemplateStringsArray, ...gaps: (string | null)[]): string | null =>
  gaps.includes(null) ? null : String.raw({ raw: strings }, ...gaps);

const firstOf = (...sentences: (() => string | null)[]): string | null => {
  for (const sentence of sentences) {
    const text = sentence();
    if (text !== null) return text;
  }
  return null;
};

/** What each alert says. */
const TEXTS: Record<AlertName, Words> = {
  'dome-too-hot': ({ at }) =>
    filled`Dome ${at('dome')}, over this grill’s limit of ${at('limit')}: close the vents.`,
  'off-due': ({ plain }, pizza) => filled`Take off ${pizza}: ${plain('onForText')} on the stone.`,
  'turn-due': ({ plain }, pizza) => filled`Turn ${pizza}: ${plain('onForText')} on the stone.`,
  'lid-left-open': ({ plain }) =>
    filled`The lid seems to have been open for ${plain('openFor')} s: shut it, the dome is cooling.`,
  'probe-lost': ({ plain }) =>
    filled`No reading from ${plain('channel')} for ${plain('silent')} s: look at the probe and its plug.`,
  overshot: ({ at, by }) =>
    filled`Stone too hot: ${at('stone')}, ${by('over')} over. Close the vents and wait before the next pizza.`,
  'overshoot-ahead': ({ at, by, plain }) =>
    firstOf(
      () =>
        filled`Close the vents within ${plain('until')} min: stone ${at('stone')}, above ${at('high')} in ${plain('inMinutes')} min. Shut now it peaks at ${at('shutNow')}, in ${plain('later')} min at ${at('shutLater')}.`,
      () =>
        filled`Close the vents now: stone ${at('stone')}, above ${at('high')} in ${plain('inMinutes')} min. Shut now it peaks at ${at('shutNow')}, in ${plain('later')} min at ${at('shutLater')}.`,
      () =>
        filled`Close the vents: stone ${at('stone')}, above ${at('high')} in ${plain('inMinutes')} min and ${by('over')} over before long.`,
    ),
  'fire-fading': ({ at, plain }) =>
    Number(plain('stone')) < Number(plain('low'))
      ? filled`The fire is fading: stone ${at('stone')}, below ${at('low')} and falling. Open the vents.`
      : filled`The fire is fading: stone ${at('stone')}, below ${at('low')} in ${plain('inMinutes')} min. Open the vents.`,
  'stone-ready': ({ at, by }) =>
    by('changeIn2Min') === null
      ? filled`Likely ready: stone about ${at('stone')}. One look, then launch.`
      : filled`Launch now: stone ${at('stone')} and steady.`,
  'look-due': ({ at, by, plain }) =>
    firstOf(
      () =>
        filled`Look again: ${at('read')} is ${plain('side')} what the stone should be, by ${by('off')}. Flour, oil or the peel?`,
      () => filled`Look at the stone: it may pass ${at('high')} in about ${plain('overInMinutes')} min.`,
      () => filled`Look at the stone: ready in about ${plain('readyInMinutes')} min.`,
      () => filled`Look at the stone: about ${at('stone')}, if nothing has changed.`,
    ),
  'probe-doubtful': ({ plain }) =>
    filled`The readings of ${plain('channel')} can't be trusted now: look at its tip and plug.`,
};

/**
 * What an alert says, in plain words, with the numbers of its `why` in the person's unit.
 * @param pizza name of the one that it is about
 * @returns null where its `why` has not all of them, as it is in cooks that were kept long ago
 */
export function alertText(alert: AlertName, why: Why, unit: Unit, pizza = 'the pizza'): string | null {
  const written = (key: string, write: (value: number) => string): string | null => {
    const value = why[key];
    return typeof value === 'number' ? write(value) : null;
  };
  const numbers: Numbers = {
    at: (key) => written(key, (celsius) => temperatureText(celsius, unit)),
    by: (key) => written(key, (celsius) => differenceText(celsius, unit)),
    plain: (key) => (why[key] === undefined ? null : String(why[key])),
  };
  return TEXTS[alert](numbers, pizza);
}
