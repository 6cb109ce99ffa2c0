import type { EngineState } from '../engine-state.ts';
import { track } from './grill-fit.ts';
import { PIZZA, type History } from './heat-history.ts';
import { thetaOf } from './parameters.ts';
import { slotAt } from './tracker.ts';

/** Pizzas that might have lain on the stone, from and to, s. */
export type Spell = { from: number; to: number };

/**
 * How well a look agrees with one way of what lay on the stone since `from`: the logarithm of its likelihood, the
 * parameters as they are.
 */
export function logLikelihood(
  { tracker }: EngineState,
  from: number,
  spells: readonly Spell[],
  { celsius, variance }: { celsius: number; variance: number },
): number {
  const { history, origin } = tracker;
  if (!history || origin === null) return 0;
  const hands = [...history.hands];
  for (let i = Math.max(0, slotAt(tracker, from)); i < hands.length; i++) hands[i] = (hands[i] ?? 0) & ~PIZZA;
  for (const spell of spells)
    for (
      let i = Math.max(0, slotAt(tracker, spell.from));
      i < hands.length && i < slotAt(tracker, spell.to);
      i++
    )
      hands[i] = (hands[i] ?? 0) | PIZZA;
  const other: History = { ...history, hands };
  const { heat, P } = track(other, thetaOf(tracker.belief, tracker.z), null);
  const s = P.ss + variance;
  return -0.5 * ((celsius - heat.surface) ** 2 / s + Math.log(s));
}
