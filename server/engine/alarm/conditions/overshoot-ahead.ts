import type { ParametersOf } from '../../../../shared/alert/kinds.ts';
import { isOpen } from '../../detect/lid-detector.ts';
import type { EngineState } from '../../engine-state.ts';
import { tenth, type Facts } from '../../estimate/facts.ts';
import {
  isStoneUnknown,
  keptAlarm,
  minutes,
  whole,
  type AlertCondition,
  type Evaluation,
} from '../condition.ts';

/** Seconds ahead that an overshoot is warned of: within 15 min, late enough that the course is believable. */
const WARN_AHEAD_SECONDS = 600;
/** Between two pizzas the next one takes as much out of the stone, °C: less than that is warned of so late, s, that it may have. */
const NEXT_PIZZA_CELSIUS = 20;
const WARN_BETWEEN_SECONDS = 300;

function evaluate(state: EngineState, { stone, dome, high, t }: Facts): Evaluation<'overshoot-ahead'> {
  if (state.onStone.length > 0) return 'false';
  if (!stone?.isFresh || isOpen(state.lid)) return 'unknown';
  if (stone.celsius > high || stone.perMinute < -0.5) return 'false';
  const { overAt: over = null, curves } = state.forecast ?? {};
  if (over === null || !curves) return 'false';
  const most = Math.max(...curves.stone.map(({ celsius }) => celsius));
  const ahead =
    state.offAt !== null && most < high + NEXT_PIZZA_CELSIUS ? WARN_BETWEEN_SECONDS : WARN_AHEAD_SECONDS;
  const climbs = stone.perMinute > 0.5 || (dome !== null && dome.perMinute > 2);
  if (over - t > ahead || !climbs) return 'between';
  const peak = whole(most);
  return {
    stone: whole(stone.celsius),
    inMinutes: minutes(over - t),
    over: Math.max(1, peak - whole(high)),
    peak,
    high: whole(high),
    perMinute: tenth(stone.perMinute),
    ...effectOfShutting(state),
  };
}

/** What shutting the vents now still does, what it does later, and for how long it is enough. */
function effectOfShutting({ whatIf }: EngineState): Partial<ParametersOf<'overshoot-ahead'>> {
  if (!whatIf) return {};
  const { shut, shutLater, until } = whatIf;
  const [shutNow, later] = [whole(shut.highest.celsius), whole(shutLater.highest.celsius)];
  // Where waiting costs nothing yet, the two figures would only be read twice.
  if (later <= shutNow && until === null) return {};
  return {
    shutNow,
    later: shutLater.minutes,
    shutLater: later,
    ...(until !== null && until > 0 && { until }),
  };
}

/** What was warned of has come. */
function isOvertaken(state: EngineState): boolean {
  const came = keptAlarm(state, 'overshot', null)?.alarm.state;
  return came === 'unacknowledged' || came === 'acknowledged';
}

// Passing the top is told by an alert of its own.
export const overshootAhead: AlertCondition<'overshoot-ahead'> = {
  onDelay: 20,
  offDelay: 180,
  again: [],
  evaluate,
  isOver: (state, t) => isOvertaken(state) || isStoneUnknown(state, t),
};
