import { filled, type Values } from './kind.ts';
import type { AlertName, ParametersOf } from './kinds.ts';

/**
 * What each alert says, in plain words; null where a number that it needs was not kept. Apart from the rest of it, since the
 * live page orders by its headlines and need not load these.
 */
type Texts = { readonly [N in AlertName]: (values: Values<ParametersOf<N>>, pizza: string) => string | null };

export const ALERT_TEXTS: Texts = {
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
    filled`Close the vents within ${plain('until')} min: stone ${at('stone')}, above ${at('high')} in ${plain('inMinutes')} min. Shut now it peaks at ${at('shutNow')}, in ${plain('later')} min at ${at('shutLater')}.` ??
    filled`Close the vents now: stone ${at('stone')}, above ${at('high')} in ${plain('inMinutes')} min. Shut now it peaks at ${at('shutNow')}, in ${plain('later')} min at ${at('shutLater')}.` ??
    filled`Close the vents: stone ${at('stone')}, above ${at('high')} in ${plain('inMinutes')} min and ${by('over')} over before long.`,
  'fire-fading': ({ at, plain }) =>
    Number(plain('stone')) < Number(plain('low'))
      ? filled`The fire is fading: stone ${at('stone')}, below ${at('low')} and falling. Open the vents.`
      : filled`The fire is fading: stone ${at('stone')}, below ${at('low')} in ${plain('inMinutes')} min. Open the vents.`,
  'stone-ready': ({ at, by }) =>
    by('changeIn2Min') === null
      ? filled`Likely ready: stone about ${at('stone')}. One look, then launch.`
      : filled`Launch now: stone ${at('stone')} and steady.`,
  'look-due': ({ at, by, plain }) =>
    filled`Look again: ${at('read')} is ${plain('side')} what the stone should be, by ${by('off')}. Mistyped, or flour, oil or the peel?` ??
    filled`Look at the stone: it may pass ${at('high')} in about ${plain('overInMinutes')} min.` ??
    filled`Look at the stone: ready in about ${plain('readyInMinutes')} min.` ??
    filled`Look at the stone: no look for ${plain('unseenMinutes')} min, so it is asked for less often.` ??
    filled`Look at the stone: the dome is at ${at('dome')}.` ??
    filled`Look at the stone: about ${at('stone')}, if nothing has changed.`,
  'probe-doubtful': ({ plain }) =>
    filled`The readings of ${plain('channel')} can't be trusted now: look at its tip and plug.`,
};
