import type { Baking, EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import { NO_DELAY, timeOnStone, type AlertCondition, type Evaluation } from '../condition.ts';

function evaluate(
  _state: EngineState,
  { t }: Facts,
  { launchedAt, offAfter }: Baking,
): Evaluation<'off-due'> {
  return t - launchedAt >= offAfter ? timeOnStone(t - launchedAt) : 'false';
}

export const offDue: AlertCondition<'off-due'> = { ...NO_DELAY, evaluateBaking: evaluate };
