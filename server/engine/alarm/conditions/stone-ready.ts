import type { ParametersOf } from '../../../../shared/alert/kinds.ts';
import { isUnassessed } from '../../detect/hands.ts';
import { isOpen } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import { tenth, type Facts } from '../../estimate/facts.ts';
import { LIKELY_READY, readyOdds } from '../../stone-state.ts';
import { isStoneUnknown, whole, type AlertCondition, type Evaluation } from '../condition.ts';

/**
 * A stone that is to move by more than this in the next two minutes, °C, only turns, as where a pizza was just taken off: steady
 * allows 6 (our choice: twice that). Of 95 calls on the half to tune on (48 cooks, bench:engine), 7 were such, none at a true
 * readiness.
 */
const TURNS_CELSIUS = 12;

function isTurning({ forecast }: EngineState): boolean {
  const [now, , soon] = forecast?.curves.stone ?? [];
  return now !== undefined && soon !== undefined && Math.abs(soon.celsius - now.celsius) > TURNS_CELSIUS;
}

function evaluate(state: EngineState, facts: Facts): Evaluation<'stone-ready'> {
  const { state: now } = state.stone;
  // A launch answers the call, with the lid still open.
  if (state.onStone.length > 0) return 'false';
  // What was done under the lid that was just up is not judged yet: a pizza may lie there.
  if (facts.stone?.isEstimate && isUnassessed(state)) return 'between';
  if (now === 'ready') return !facts.stone?.isEstimate && isTurning(state) ? 'between' : readyWhy(facts);
  if (isOpen(state.lid) || now === 'blind') return 'between';
  // A call lapses with what is known of the stone: the next look renews it.
  if (facts.stone?.isEstimate)
    return readyOdds(state, facts).ready < LIKELY_READY.stays ? 'false' : 'between';
  return now === 'soaking' && Math.abs(facts.stone?.change ?? 0) < 6.3 ? 'between' : 'false';
}

function readyWhy({ stone, low, high }: Facts): ParametersOf<'stone-ready'> {
  const celsius = whole(stone?.celsius ?? 0);
  if (stone?.isEstimate) return { stone: celsius, error: tenth(stone.error), low, high };
  return { stone: celsius, changeIn2Min: tenth(stone?.change ?? 0), low, high };
}

export const stoneReady: AlertCondition<'stone-ready'> = {
  onDelay: 0,
  offDelay: 45,
  evaluate,
  // Whoever launched has answered it.
  isOver: (state, t) => state.onStone.length > 0 || isStoneUnknown(state, t),
};
