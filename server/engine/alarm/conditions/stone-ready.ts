import type { ParametersOf } from '../../../../shared/alert/kinds.ts';
import { isUnassessed } from '../../detect/hands.ts';
import { isOpen } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import { tenth, type Facts } from '../../estimate/facts.ts';
import { LIKELY_READY, readyOdds } from '../../stone-state.ts';
import { whole, type AlertCondition, type Evaluation } from '../condition.ts';

function evaluate(state: EngineState, facts: Facts): Evaluation<'stone-ready'> {
  const { state: now } = state.stone;
  // A launch answers the call, with the lid still open.
  if (state.onStone.length > 0) return 'false';
  // What was done under the lid that was just up is not judged yet: a pizza may lie there.
  if (facts.stone?.isEstimate && isUnassessed(state)) return 'between';
  if (now === 'ready') return readyWhy(facts);
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

export const stoneReady: AlertCondition<'stone-ready'> = { onDelay: 0, offDelay: 45, evaluate };
