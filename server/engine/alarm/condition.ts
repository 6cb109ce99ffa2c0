import type { AlertName, ParametersOf } from '../../../shared/alert/kinds.ts';
import type { Baking, EngineState, AlarmRecord } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import type { AlarmRules, Condition } from './alarm.ts';

/**
 * When an alert is so, with the numbers that its text says. They are of one look at the same facts, so that the words
 * name what the condition found.
 */

/** The numbers where the alert is so; else how it is. */
export type Evaluation<N extends AlertName = AlertName> = ParametersOf<N> | Exclude<Condition, 'true'>;

/** Delays s. `again`, `forget`: where it sounds again, or is forgotten, at other times than what is as urgent. */
type Delays = Pick<AlarmRules, 'onDelay' | 'offDelay'> & Partial<Pick<AlarmRules, 'again' | 'forget'>>;
/** A pizza's time is come or it is not: no delays. */
export const NO_DELAY: Delays = { onDelay: 0, offDelay: 0 };

/** The condition of one alert: of the cook, or of each pizza on the stone. */
export type AlertCondition<N extends AlertName> = Delays &
  (
    | {
        evaluate(state: EngineState, facts: Facts): Evaluation<N>;
        /** What it is about is over, or not known any more: it ends at once, without its delay, and nobody need see it. */
        isOver?(state: EngineState, t: number): boolean;
      }
    | { evaluateBaking(state: EngineState, facts: Facts, baking: Baking): Evaluation<N> }
  );

export const conditionOf = (evaluation: Evaluation): Condition =>
  typeof evaluation === 'string' ? evaluation : 'true';

export const keptAlarm = (
  state: EngineState,
  alert: AlertName,
  key: number | null,
): AlarmRecord | undefined => state.alarms.find((alarm) => alarm.alert === alert && alarm.key === key);

/** A stone that is not known for so long, s, is not soon back; by then its probe was called lost. */
const UNKNOWN_SECONDS = 20;
/** Nobody is to launch, or to turn a vent, by what the stone was when it was last known. */
export const isStoneUnknown = ({ stone }: EngineState, t: number): boolean =>
  stone.state === 'blind' && t - stone.since >= UNKNOWN_SECONDS;

export const whole = (value: number): number => Math.round(value) + 0;
export const minutes = (seconds: number): number => Math.max(1, whole(seconds / 60));

/** One standard error of an estimate, °C, above which nobody should turn a vent for it (our choice): a look comes first. */
const ROUGH_ERROR_CELSIUS = 10;
export const isRough = (stone: Facts['stone']): boolean =>
  stone?.isEstimate === true && stone.error > ROUGH_ERROR_CELSIUS;

/** How long a pizza has been on the stone, s and as text. */
export function timeOnStone(age: number): ParametersOf<'off-due'> {
  const onFor = whole(age);
  return { onFor, onForText: `${Math.floor(onFor / 60)}:${String(onFor % 60).padStart(2, '0')}` };
}
