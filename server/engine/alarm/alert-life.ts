import { ALERT_KINDS, type AlertName } from '../../../shared/alert/kinds.ts';
import { alertText } from '../../../shared/alert/text.ts';
import type { Urgency } from '../../../shared/words.ts';
import type { EngineOutput } from '../../../shared/engine.ts';
import type { CookEventName } from '../../../shared/event.ts';
import type { Baking, EngineState, AlarmRecord } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { end, freshAlarm, stepAlarm, type AlarmRules, type Move } from './alarm.ts';
import { conditionOf, keptAlarm, type Evaluation } from './condition.ts';
import { CONDITIONS } from './conditions.ts';

/** When nobody acknowledges, and how long a returned alert waits to be seen, by urgency, s (our choice). */
const LIFE_BY_URGENCY: Record<Urgency, Pick<AlarmRules, 'again' | 'comesBack' | 'forget'>> = {
  prompt: { again: [], comesBack: null, forget: 600 },
  act: { again: [1200], comesBack: null, forget: 900 },
  urgent: { again: [120, 600], comesBack: 900, forget: 900 },
};

const ALARM_RULES = (Object.keys(CONDITIONS) as AlertName[]).map((alert) => {
  const condition = CONDITIONS[alert];
  const usual = LIFE_BY_URGENCY[ALERT_KINDS[alert].urgency];
  const { onDelay, offDelay, again = usual.again, forget = usual.forget } = condition;
  const life: AlarmRules = { ...usual, onDelay, offDelay, again, forget };
  return { alert, condition, life };
});

export function alarmOf(state: EngineState, alert: AlertName, baking: Baking | null, t: number): AlarmRecord {
  const known = keptAlarm(state, alert, baking?.key ?? null);
  if (known) return known;
  const made: AlarmRecord = {
    alert,
    key: baking?.key ?? null,
    pizza: baking?.pizza ?? null,
    alarm: freshAlarm(t),
    why: {},
  };
  state.alarms.push(made);
  return made;
}

/** What an alert says, its numbers, and how urgent it is. */
export const wordingOf = ({ alert, why }: AlarmRecord) => ({
  message: alertText(alert, why, 'C') ?? '',
  urgency: ALERT_KINDS[alert].urgency,
  why,
});

/** Turns a move into what is told. */
export function alertOutput(alarm: AlarmRecord, move: Move, t: number): EngineOutput {
  const { alert, pizza } = alarm;
  if (move.kind === 'state') {
    const state = { t, type: 'alert-state', alert, state: move.state } as const;
    return pizza === null ? state : { ...state, pizza };
  }
  const call: Extract<EngineOutput, { type: 'alert' }> = { t, type: 'alert', alert, ...wordingOf(alarm) };
  if (move.again !== undefined) call.again = move.again;
  if (pizza !== null) call.pizza = pizza;
  return call;
}

function step(
  state: EngineState,
  t: number,
  { alert, life }: { alert: AlertName; life: AlarmRules },
  evaluated: Evaluation,
  baking: Baking | null,
  out: EngineOutput[],
): void {
  if (typeof evaluated === 'string' && !keptAlarm(state, alert, baking?.key ?? null)) return;
  const alarm = alarmOf(state, alert, baking, t);
  if (baking) alarm.pizza = baking.pizza;
  const move = stepAlarm(alarm.alarm, t, conditionOf(evaluated), life);
  if (!move) return;
  if (move.kind !== 'state' && typeof evaluated !== 'string') alarm.why = evaluated;
  out.push(alertOutput(alarm, move, t));
}

export function stepAlerts(state: EngineState, facts: Facts, out: EngineOutput[]): void {
  const { t } = facts;
  for (const rule of ALARM_RULES)
    if ('evaluate' in rule.condition) step(state, t, rule, rule.condition.evaluate(state, facts), null, out);
  endOver(state, t, out);
  for (const baking of state.onStone) {
    // Only of pizzas that a person told or confirmed.
    if (!baking.isConfirmed) continue;
    for (const rule of ALARM_RULES)
      if ('evaluateBaking' in rule.condition)
        step(state, t, rule, rule.condition.evaluateBaking(state, facts, baking), baking, out);
  }
}

function endOver(state: EngineState, t: number, out: EngineOutput[]): void {
  for (const { alert, condition } of ALARM_RULES) {
    if (!('isOver' in condition) || !condition.isOver?.(state, t)) continue;
    const record = keptAlarm(state, alert, null);
    const move = record && end(record.alarm, t);
    if (record && move) out.push(alertOutput(record, move, t));
  }
}

/** How an alert is at this moment, for whoever unshelves it. */
export function evaluateNow(state: EngineState, facts: Facts, { alert, key }: AlarmRecord): Evaluation {
  const condition = CONDITIONS[alert];
  if ('evaluate' in condition) return condition.evaluate(state, facts);
  const baking = state.onStone.find((candidate) => candidate.key === key);
  return baking ? condition.evaluateBaking(state, facts, baking) : 'unknown';
}

/** Those that are answered by what a person says happened. */
export const answeredBy = (event: CookEventName): AlertName[] =>
  ALARM_RULES.flatMap(({ alert }) =>
    ALERT_KINDS[alert].answeredBy.some((deed) => deed === event) ? [alert] : [],
  );
