import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import { alertText } from '../../../shared/alert/texts.ts';
import type { EngineOutput, Urgency } from '../../../shared/engine.ts';
import type { AlertName } from '../../../shared/words.ts';
import type { Baking, EngineState, AlarmRecord } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { freshAlarm, stepAlarm, type AlarmRules, type Move } from './alarm.ts';
import {
  conditionOf,
  domeTooHot,
  fireFading,
  keptAlarm,
  lidLeftOpen,
  lookDue,
  offDue,
  overshootAhead,
  overshot,
  probeDoubtful,
  probeLost,
  stoneReady,
  turnDue,
  type Evaluate,
  type Evaluation,
} from './conditions.ts';

/** When nobody acknowledges, and how long a returned alert waits to be seen, by urgency, s (our choice). */
const LIFE: Record<Urgency, Pick<AlarmRules, 'again' | 'comesBack' | 'forget'>> = {
  prompt: { again: [], comesBack: null, forget: 600 },
  act: { again: [1200], comesBack: null, forget: 900 },
  urgent: { again: [120, 600], comesBack: 900, forget: 900 },
};

/** s. A pizza's time is come or it is not: no delays. */
type Delays = Pick<AlarmRules, 'onDelay' | 'offDelay'> & { again?: readonly number[] };
const AT_ONCE: Delays = { onDelay: 0, offDelay: 0 };

const lifeOf = (alert: AlertName, delays: Delays): AlarmRules => ({
  ...LIFE[ALERT_KINDS[alert].urgency],
  ...delays,
});

const rule = (alert: AlertName, delays: Delays, evaluate: Evaluate) => ({
  alert,
  evaluate,
  life: lifeOf(alert, delays),
});

/** In the order in which they are looked at. */
const RULES = [
  rule('stone-ready', { onDelay: 0, offDelay: 45 }, stoneReady),
  // Passing the top is told by an alert of its own.
  rule('overshoot-ahead', { onDelay: 20, offDelay: 180, again: [] }, overshootAhead),
  // A stone takes half an hour to come down: sounding sooner again tells nothing new.
  rule('overshot', { onDelay: 5, offDelay: 60, again: [1800] }, overshot),
  rule('fire-fading', { onDelay: 60, offDelay: 240 }, fireFading),
  rule('lid-left-open', AT_ONCE, lidLeftOpen),
  rule('dome-too-hot', { onDelay: 0, offDelay: 180, again: [600] }, domeTooHot),
  rule('probe-lost', { onDelay: 0, offDelay: 5 }, probeLost),
  rule('probe-doubtful', { onDelay: 30, offDelay: 60 }, probeDoubtful),
  rule('look-due', AT_ONCE, lookDue),
];
/** Of each pizza on the stone. */
const PIZZA_RULES = [
  { alert: 'turn-due', evaluate: turnDue, life: lifeOf('turn-due', AT_ONCE) },
  { alert: 'off-due', evaluate: offDue, life: lifeOf('off-due', AT_ONCE) },
] as const;

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
export const saidOf = ({ alert, why }: AlarmRecord) => ({
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
  const call: Extract<EngineOutput, { type: 'alert' }> = { t, type: 'alert', alert, ...saidOf(alarm) };
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
  for (const each of RULES) step(state, t, each, each.evaluate(state, facts), null, out);
  for (const baking of state.onStone) {
    // Only of pizzas that a person told or confirmed.
    if (!baking.isConfirmed) continue;
    for (const each of PIZZA_RULES) step(state, t, each, each.evaluate(state, facts, baking), baking, out);
  }
}

/** How an alert is at this moment, for whoever unshelves it. */
export function evaluateNow(state: EngineState, facts: Facts, { alert, key }: AlarmRecord): Evaluation {
  const baking = state.onStone.find((rule) => rule.key === key);
  const ofPizza = baking && PIZZA_RULES.find((rule) => rule.alert === alert)?.evaluate(state, facts, baking);
  return ofPizza ?? RULES.find((rule) => rule.alert === alert)?.evaluate(state, facts) ?? 'unknown';
}
