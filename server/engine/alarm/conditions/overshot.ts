import { isOpen } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import { highLimit } from '../alarm.ts';
import { whole, type AlertCondition, type Evaluation } from '../condition.ts';

function evaluate(state: EngineState, { stone, high }: Facts): Evaluation<'overshot'> {
  if (!stone?.isFresh) return 'unknown';
  if (state.onStone.length > 0 || isOpen(state.lid)) return 'between';
  const condition = highLimit(stone.celsius, high + 0.3, 1.5 + 2 * stone.error);
  if (condition !== 'true') return condition;
  const celsius = whole(stone.celsius);
  return { stone: celsius, over: Math.max(1, celsius - whole(high)), high: whole(high) };
}

// A stone takes half an hour to come down: sounding sooner again tells nothing new.
export const overshot: AlertCondition<'overshot'> = { onDelay: 5, offDelay: 60, again: [1800], evaluate };
