import type { EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import { highLimit } from '../alarm.ts';
import { whole, type AlertCondition, type Evaluation } from '../condition.ts';

function evaluate({ targets }: EngineState, { dome }: Facts): Evaluation<'dome-too-hot'> {
  const limit = targets.domeLimit;
  if (limit === null || limit === undefined || !dome) return 'false';
  const condition = dome.isFresh ? highLimit(dome.celsius, limit, 15) : 'unknown';
  return condition === 'true' ? { dome: whole(dome.celsius), limit: whole(limit) } : condition;
}

export const domeTooHot: AlertCondition<'dome-too-hot'> = {
  onDelay: 0,
  offDelay: 180,
  again: [600],
  evaluate,
};
