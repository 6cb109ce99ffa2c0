import type { EngineOutput, Urgency } from '../../shared/engine.ts';
import type { AlertName } from '../../shared/words.ts';
import { freshAlarm, highLimit, stepAlarm, type AlarmRules, type Condition, type Move } from './alarm.ts';
import { patience } from './channel.ts';
import { isOpen, openFor } from './detect-lid.ts';
import type { Baking, EngineState, KeptAlarm } from './engine-state.ts';
import type { Facts } from './facts.ts';
import { say } from './messages.ts';

/** When nobody acknowledges, and how long a returned alert waits to be seen, by urgency, s (our choice). */
const LIFE: Record<Urgency, Pick<AlarmRules, 'again' | 'comesBack' | 'forget'>> = {
  prompt: { again: [], comesBack: null, forget: 600 },
  act: { again: [1200], comesBack: null, forget: 900 },
  urgent: { again: [120, 600], comesBack: 900, forget: 900 },
};

type Rule = {
  urgency: Urgency;
  life: AlarmRules;
  condition: (state: EngineState, facts: Facts) => Condition;
};

/** By urgency, with delays of its own and, where given, other times of sounding again. */
const rule = (
  urgency: Urgency,
  delays: Pick<AlarmRules, 'onDelay' | 'offDelay'> & { again?: readonly number[] },
  condition: Rule['condition'],
): Rule => ({ urgency, life: { ...LIFE[urgency], ...delays }, condition });

const is = (yes: boolean): Condition => (yes ? 'true' : 'false');

function stoneReady(state: EngineState, { stone }: Facts): Condition {
  const { state: now } = state.stone;
  // A launch answers the call, with the lid still open.
  if (state.onStone.length > 0) return 'false';
  if (now === 'ready') return 'true';
  if (isOpen(state.lid) || now === 'blind') return 'between';
  return now === 'soaking' && Math.abs(stone?.change ?? 0) < 6.3 ? 'between' : 'false';
}

/** Seconds ahead that an overshoot is warned of: within the contract's 15 min, late enough that the course is believable. */
const AHEAD = 600;
/** Between two pizzas the next one takes as much out of the stone, °C: less than that is warned of so late, s, that it may have. */
const NEXT_TAKES = 20;
const AHEAD_BETWEEN = 300;

function overshootAhead(state: EngineState, { stone, dome, high, t }: Facts): Condition {
  if (state.onStone.length > 0) return 'false';
  if (!stone?.isFresh || isOpen(state.lid)) return 'unknown';
  if (stone.celsius > high || stone.perMinute < -0.5) return 'false';
  const { overAt: over = null, curves } = state.forecast ?? {};
  if (over === null || !curves) return 'false';
  const most = Math.max(...curves.stone.map(({ celsius }) => celsius));
  const ahead = state.offAt !== null && most < high + NEXT_TAKES ? AHEAD_BETWEEN : AHEAD;
  const climbs = stone.perMinute > 0.5 || (dome !== null && dome.perMinute > 2);
  return over - t <= ahead && climbs ? 'true' : 'between';
}

function overshot(state: EngineState, { stone, high }: Facts): Condition {
  if (!stone?.isFresh) return 'unknown';
  if (state.onStone.length > 0 || isOpen(state.lid)) return 'between';
  return highLimit(stone.celsius, high + 0.3, 1.5 + 2 * stone.error);
}

/** Fading matters once the stone has been hot enough, and while it will not be for the next pizza. */
function fireFading(state: EngineState, facts: Facts): Condition {
  const { stone, dome, t, low } = facts;
  if (!stone?.isFresh || isOpen(state.lid)) return 'unknown';
  if (state.onStone.length > 0 || state.inBandAt === null) return 'between';
  if (state.offAt !== null && t - state.offAt < 300) return 'between';
  const perMinute = (stone.change ?? 0) / 2;
  const domeFalls = !dome || dome.perMinute < -0.3 || dome.celsius < low - 15;
  const soon = state.forecast?.fadesAt ?? null;
  if (perMinute > 0 || (stone.celsius > low + 4 && soon === null)) return 'false';
  const leaves = soon !== null && soon - t < 480 && perMinute < -0.7;
  const left = stone.celsius < low && perMinute < -0.7;
  return domeFalls && (leaves || left) ? 'true' : 'between';
}

function lidLeftOpen(state: EngineState, { t }: Facts): Condition {
  return is(openFor(state.lid, t) > 120);
}

function domeTooHot(state: EngineState, { dome }: Facts): Condition {
  const limit = state.targets.domeLimit;
  if (limit === null || limit === undefined || !dome) return 'false';
  return dome.isFresh ? highLimit(dome.celsius, limit, 15) : 'unknown';
}

function probeLost(state: EngineState, { t }: Facts): Condition {
  const lost = state.channels.some(
    (channel) =>
      channel.role !== 'other' &&
      channel.filter.good !== null &&
      t - channel.filter.good > patience(channel) + 100,
  );
  return is(lost);
}

function probeDoubtful(state: EngineState): Condition {
  return is(state.channels.some(({ role, filter }) => role !== 'other' && filter.doubtful >= 15));
}

const RULES: Partial<Record<AlertName, Rule>> = {
  'stone-ready': rule('prompt', { onDelay: 0, offDelay: 45 }, stoneReady),
  // Passing the top is told by an alert of its own.
  'overshoot-ahead': rule('act', { onDelay: 20, offDelay: 180, again: [] }, overshootAhead),
  // A stone takes half an hour to come down: sounding sooner again tells nothing new.
  overshot: rule('act', { onDelay: 5, offDelay: 60, again: [1800] }, overshot),
  'fire-fading': rule('act', { onDelay: 60, offDelay: 240 }, fireFading),
  'lid-left-open': rule('act', { onDelay: 0, offDelay: 0 }, lidLeftOpen),
  'dome-too-hot': rule('urgent', { onDelay: 0, offDelay: 180, again: [600] }, domeTooHot),
  'probe-lost': rule('urgent', { onDelay: 0, offDelay: 5 }, probeLost),
  'probe-doubtful': rule('prompt', { onDelay: 30, offDelay: 60 }, probeDoubtful),
};
const ALL = Object.entries(RULES) as [AlertName, Rule][]; // its keys are alerts

export const keptAlarm = (state: EngineState, alert: AlertName, key: number | null): KeptAlarm | undefined =>
  state.alarms.find((one) => one.alert === alert && one.key === key);

function alarmOf(state: EngineState, alert: AlertName, baking: Baking | null, t: number): KeptAlarm {
  const known = keptAlarm(state, alert, baking?.key ?? null);
  if (known) return known;
  const made: KeptAlarm = {
    alert,
    key: baking?.key ?? null,
    pizza: baking?.pizza ?? null,
    alarm: freshAlarm(t),
    said: { message: '', urgency: 'act', why: {} },
  };
  state.alarms.push(made);
  return made;
}

/** Turns a move into what is told. */
export function told(kept: KeptAlarm, move: Move, t: number): EngineOutput {
  const { alert, pizza, said } = kept;
  if (move.kind === 'state') {
    const state = { t, type: 'alert-state', alert, state: move.state } as const;
    return pizza === null ? state : { ...state, pizza };
  }
  const { message, urgency, why } = said;
  const call: Extract<EngineOutput, { type: 'alert' }> = { t, type: 'alert', alert, message, urgency, why };
  if (move.again !== undefined) call.again = move.again;
  if (pizza !== null) call.pizza = pizza;
  return call;
}

function run(state: EngineState, facts: Facts, alert: AlertName, rule: Rule, out: EngineOutput[]): void {
  const condition = rule.condition(state, facts);
  const known = keptAlarm(state, alert, null);
  if (!known && condition !== 'true') return;
  const kept = known ?? alarmOf(state, alert, null, facts.t);
  const move = stepAlarm(kept.alarm, facts.t, condition, rule.life);
  if (!move) return;
  if (move.kind !== 'state') kept.said = { urgency: rule.urgency, ...say(alert, state, facts, null) };
  out.push(told(kept, move, facts.t));
}

/** A pizza's time is come or it is not: no delays. */
const AT_ONCE = { onDelay: 0, offDelay: 0 };
const PIZZA_LIFE = { act: { ...LIFE.act, ...AT_ONCE }, urgent: { ...LIFE.urgent, ...AT_ONCE } };

/** A pizza's two times; only of pizzas that a person told or confirmed. Opening the lid about then counts as turning. */
function runPizza(state: EngineState, facts: Facts, baking: Baking, out: EngineOutput[]): void {
  const age = facts.t - baking.launchedAt;
  const hasLooked = state.lid.openedAt - baking.launchedAt > baking.turnAfter - 45;
  const isTurnDue =
    baking.turnedAt === null && !hasLooked && age >= baking.turnAfter && age < baking.offAfter;
  const conditions = [
    ['turn-due', isTurnDue],
    ['off-due', age >= baking.offAfter],
  ] as const;
  for (const [alert, isDue] of conditions) {
    if (!isDue && !keptAlarm(state, alert, baking.key)) continue;
    const kept = alarmOf(state, alert, baking, facts.t);
    kept.pizza = baking.pizza;
    const urgency = alert === 'turn-due' ? 'act' : 'urgent';
    const move = stepAlarm(kept.alarm, facts.t, is(isDue), PIZZA_LIFE[urgency]);
    if (!move) continue;
    if (move.kind !== 'state') kept.said = { urgency, ...say(alert, state, facts, baking) };
    out.push(told(kept, move, facts.t));
  }
}

export function stepAlerts(state: EngineState, facts: Facts, out: EngineOutput[]): void {
  for (const [alert, one] of ALL) run(state, facts, alert, one, out);
  for (const baking of state.onStone) if (baking.isConfirmed) runPizza(state, facts, baking, out);
}

/** What a person or an unshelving needs: the condition as it is. */
export function conditionNow(state: EngineState, facts: Facts, alert: AlertName): Condition {
  return RULES[alert]?.condition(state, facts) ?? 'unknown';
}
