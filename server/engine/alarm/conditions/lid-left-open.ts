import { openFor } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import { NO_DELAY, whole, type AlertCondition, type Evaluation } from '../condition.ts';

/** A lid that stands open so long, s, was forgotten. */
const LEFT_OPEN_AFTER_SECONDS = 120;

function evaluate({ lid }: EngineState, { t, dome }: Facts): Evaluation<'lid-left-open'> {
  if (openFor(lid, t) <= LEFT_OPEN_AFTER_SECONDS) return 'false';
  const open = whole(t - lid.openedAt);
  return { openFor: open, ...(dome && { dome: whole(dome.celsius) }), before: whole(lid.level) };
}

export const lidLeftOpen: AlertCondition<'lid-left-open'> = { ...NO_DELAY, evaluate };
