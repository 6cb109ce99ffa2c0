import { SAME_LAUNCH_SECONDS } from '../../shared/cook/bakes.ts';
import { reduce } from '../../shared/cook/reduce.ts';
import type { EngineOutput } from '../../shared/engine.ts';
import { happenedAt } from '../../shared/cook/happened-at.ts';
import type { CookEvent } from '../../shared/event.ts';
import { acknowledge, shelve, unshelve } from './alarm/alarm.ts';
import { alarmOf, alertOutput, answeredBy, evaluateNow } from './alarm/alert-life.ts';
import { conditionOf } from './alarm/condition.ts';
import { close, isOpen, open } from './detect/lid-detector.ts';
import type { Baking, EngineState, AlarmRecord } from './engine-state.ts';
import { factsOf } from './estimate/facts.ts';
import { followCook, putBack, takeOff } from './pizzas-on-stone.ts';

type Of<N extends CookEvent['event']> = Extract<CookEvent, { event: N }>;

/** What tells what lies on the stone. */
const SAYS_MORE: ReadonlySet<CookEvent['event']> = new Set(['launch', 'off', 'undo', 'answer']);

/** What a person says happened, taken in at `t`. */
export function takeEvent(state: EngineState, t: number, event: CookEvent, out: EngineOutput[]): void {
  for (const alert of answeredBy(event.event)) handle(state, t, { event: 'acknowledge', alert }, out);
  const before = state.cook;
  state.cook = reduce(before, { ...event, t });
  const id = state.cook.entries.at(-1)?.id ?? '';
  if (event.event === 'launch') endGuesses(state, happenedAt(t, event));
  if (event.event === 'answer') answer(state, t, event);
  if (event.event === 'undo') undo(state, t, event.of);
  if ((event.event === 'turn' || event.event === 'off') && state.cook.bakes === before.bakes)
    ofGuess(state, t, event, id);
  if (state.cook.bakes !== before.bakes || event.event === 'answer') followCook(state);
  // What people say of pizzas is known: what is guessed starts from there.
  if (SAYS_MORE.has(event.event)) state.tracker.hypotheses = [];
  if (state.cook.targets !== before.targets) {
    state.targets = state.cook.targets;
    state.forecastAt = -1e6;
  }
  if (event.event === 'lid-open') lidUp(state, t, id);
  if (event.event === 'lid-closed') close(state.lid, t);
  if (event.event === 'vent' || event.event === 'fuel') {
    state.ventAt = happenedAt(t, event);
    state.forecastAt = -1e6;
  }
  if (event.event === 'acknowledge' || event.event === 'shelve' || event.event === 'unshelve')
    handle(state, t, event, out);
}

const isSame = (a: number, b: number): boolean => Math.abs(a - b) < SAME_LAUNCH_SECONDS;

/** What was read off the curve is the pizza that is told of now, or it was taken off without a tap, or never there. */
function endGuesses(state: EngineState, launchedAt: number): void {
  const isGuess = ({ isConfirmed }: Baking): boolean => !isConfirmed;
  state.onStone = state.onStone.filter(
    (baking) => !(isGuess(baking) && isSame(baking.launchedAt, launchedAt)),
  );
  for (const other of state.onStone.filter(isGuess)) takeOff(state, other, launchedAt, null);
}

/** A turn or an off that is of nothing anybody told of is of what was read off the curve. */
function ofGuess(state: EngineState, t: number, event: Of<'turn'> | Of<'off'>, id: string): void {
  const guess = event.pizza === undefined ? state.onStone.find(({ isConfirmed }) => !isConfirmed) : undefined;
  if (!guess) return;
  const at = happenedAt(t, event);
  if (event.event === 'turn') guess.turnedAt = at;
  else takeOff(state, guess, at, id);
}

function lidUp(state: EngineState, t: number, eventId: string): void {
  const { dome } = factsOf(state, t);
  if (!isOpen(state.lid)) open(state.lid, t, t, dome?.celsius ?? 0, dome?.celsius ?? 0);
  state.lid.phase = 'open';
  state.lid.wasOpen = true;
  state.lid.isTapped = true;
  state.lid.eventId = eventId;
  if (state.onStone.length > 0) state.watch.lidAt ??= t;
}

type Handling = Of<'acknowledge'> | Of<'shelve'> | Of<'unshelve'>;

function handle(state: EngineState, t: number, event: Handling, out: EngineOutput[]): void {
  const alarm = state.alarms.filter((alarm) => alarm.alert === event.alert);
  if (alarm.length === 0 && event.event === 'shelve') alarm.push(alarmOf(state, event.alert, null, t));
  for (const candidate of alarm) {
    const move = moveOf(state, candidate, t, event);
    if (move) out.push(alertOutput(candidate, move, t));
  }
}

function moveOf(
  state: EngineState,
  alarm: AlarmRecord,
  t: number,
  event: Handling,
): ReturnType<typeof shelve> | null {
  if (event.event === 'acknowledge') return acknowledge(alarm.alarm, t);
  if (event.event === 'shelve') return shelve(alarm.alarm, t, event.seconds);
  const evaluation = evaluateNow(state, factsOf(state, t), alarm);
  if (typeof evaluation !== 'string') alarm.why = evaluation;
  return unshelve(alarm.alarm, t, conditionOf(evaluation));
}

/** Yes makes what was noticed an event; no takes it back and makes the noticing shyer. */
function answer(state: EngineState, t: number, { noticed, at, yes }: Of<'answer'>): void {
  if (noticed === 'launch') {
    if (!yes) state.watch.refused += 1;
    state.onStone = state.onStone.filter((baking) => baking.isConfirmed || !isSame(baking.launchedAt, at));
  }
  if (noticed === 'off' && !yes) putBack(state, (taken) => taken.off === null && isSame(taken.at, at));
  if (noticed === 'lid-open' && !yes) close(state.lid, t);
}

function undo(state: EngineState, t: number, of: string): void {
  if (isOpen(state.lid) && state.lid.eventId === of) close(state.lid, t);
  putBack(state, ({ off, baking }) => off === of && baking.launch === null);
}
