import type { Baking, EngineState } from '../../engine-state.ts';
import type { Facts } from '../../estimate/facts.ts';
import { NO_DELAY, timeOnStone, type AlertCondition, type Evaluation } from '../condition.ts';

/** A lid that opens so soon after a launch, s, is the launch's own; so long before the turn is due, it may be the turn. */
const LAUNCH_LID_SECONDS = 20;
const TURN_AHEAD_SECONDS = 45;

/** Opening the lid about the time of the turn counts as turning; the lid that was opened for the launch does not. */
function hasOpenedForTurn({ lid }: EngineState, { launchedAt }: Baking, turnAfter: number): boolean {
  const opened = lid.openedAt - launchedAt;
  return opened > Math.max(turnAfter - TURN_AHEAD_SECONDS, Math.min(LAUNCH_LID_SECONDS, turnAfter / 2));
}

function evaluate(state: EngineState, facts: Facts, baking: Baking): Evaluation<'turn-due'> {
  const { turnAfter, turnedAt, offAfter, launchedAt } = baking;
  const age = facts.t - launchedAt;
  const isDue =
    turnAfter !== null &&
    turnedAt === null &&
    !hasOpenedForTurn(state, baking, turnAfter) &&
    age >= turnAfter &&
    age < offAfter;
  return isDue ? timeOnStone(age) : 'false';
}

export const turnDue: AlertCondition<'turn-due'> = { ...NO_DELAY, evaluateBaking: evaluate };
