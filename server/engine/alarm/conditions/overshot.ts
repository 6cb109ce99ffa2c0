import { isOpen } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import { highLimit } from '../alarm.ts';
import { isStoneUnknown, keptAlarm, whole, type AlertCondition, type Evaluation } from '../condition.ts';

/** A stone takes half an hour to come down, s: sounding sooner again tells nothing new. */
const AGAIN_SECONDS = 1800;

/**
 * It may well fall by 1 °C/min, as falling is defined, or fast enough to be in its band before the alert would sound again: within
 * two standard errors.
 */
function comesDown({ celsius, change, changeError }: NonNullable<Facts['stone']>, high: number): boolean {
  if (change === null) return false;
  return Math.min(2, ((celsius - high) * 120) / AGAIN_SECONDS) < 2 * changeError - change;
}

function evaluate(state: EngineState, { stone, high }: Facts): Evaluation<'overshot'> {
  if (!stone?.isFresh) return 'unknown';
  if (state.onStone.length > 0 || isOpen(state.lid)) return 'between';
  const condition = highLimit(stone.celsius, high + 0.3, 1.5 + 2 * stone.error);
  if (condition !== 'true') return condition;
  // Where it is on its way back, nobody need hear of it again.
  const isStanding = keptAlarm(state, 'overshot', null)?.alarm.state === 'unacknowledged';
  if (isStanding && comesDown(stone, high)) return 'between';
  const celsius = whole(stone.celsius);
  return { stone: celsius, over: Math.max(1, celsius - whole(high)), high: whole(high) };
}

export const overshot: AlertCondition<'overshot'> = {
  onDelay: 5,
  offDelay: 60,
  again: [AGAIN_SECONDS],
  evaluate,
  isOver: isStoneUnknown,
};
