import { isOpen } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import {
  isRough,
  isStoneUnknown,
  minutes,
  whole,
  type AlertCondition,
  type Evaluation,
} from '../condition.ts';

/** Fading matters once the stone has been hot enough, and while it will not be for the next pizza. */
function evaluate(state: EngineState, facts: Facts): Evaluation<'fire-fading'> {
  const { stone, dome, t, low } = facts;
  if (!stone?.isFresh || isOpen(state.lid)) return 'unknown';
  if (state.onStone.length > 0 || state.inBandAt === null || isRough(stone)) return 'between';
  if (state.offAt !== null && t - state.offAt < 300) return 'between';
  const perMinute = (stone.change ?? 0) / 2;
  const domeFalls = !dome || dome.perMinute < -0.3 || dome.celsius < low - 15;
  const soon = state.forecast?.fadesAt ?? null;
  if (perMinute > 0 || (stone.celsius > low + 4 && soon === null)) return 'false';
  const leaves = soon !== null && soon - t < 480 && perMinute < -0.7;
  const left = stone.celsius < low && perMinute < -0.7;
  if (!domeFalls || (!leaves && !left)) return 'between';
  return {
    stone: whole(stone.celsius),
    low: whole(low),
    inMinutes: minutes((soon ?? t) - t),
    ...(dome && { dome: whole(dome.celsius) }),
  };
}

export const fireFading: AlertCondition<'fire-fading'> = {
  onDelay: 60,
  offDelay: 240,
  evaluate,
  isOver: isStoneUnknown,
};
