import type { EngineOutput } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import type { AlertName } from '../../shared/words.ts';
import { acknowledge, freshAlarm, shelve, unshelve } from './alarm.ts';
import { conditionNow, told } from './alerts.ts';
import { close, isOpen, open } from './detect-lid.ts';
import type { EngineState, KeptAlarm } from './engine-state.ts';
import { factsOf } from './facts.ts';
import { SAME } from './notice.ts';
import { meant, putBack, putOn, takeOff } from './pizzas.ts';

type Of<N extends CookEvent['event']> = Extract<CookEvent, { event: N }>;

/** Doing what an alert asks for is also having seen it. */
const ANSWERS: Partial<Record<CookEvent['event'], readonly AlertName[]>> = {
  launch: ['stone-ready'],
  vent: ['overshoot-ahead', 'overshot', 'fire-fading', 'dome-too-hot'],
  fuel: ['fire-fading'],
  'lid-closed': ['lid-left-open'],
};

/** What a person says happened, taken in at `t`. */
export function takeEvent(state: EngineState, t: number, event: CookEvent, out: EngineOutput[]): void {
  for (const alert of ANSWERS[event.event] ?? []) handle(state, t, { event: 'acknowledge', alert }, out);
  switch (event.event) {
    case 'launch':
      return launch(state, t, event);
    case 'turn':
      return turn(state, t, event);
    case 'off':
      return off(state, t, event);
    case 'bake-times':
      return bakeTimes(state, event);
    case 'lid-open':
      return lidUp(state, t, event.id ?? null);
    case 'lid-closed':
      return close(state.lid, t);
    case 'vent':
    case 'fuel':
      state.ventAt = t;
      state.forecastAt = -1e6;
      return;
    case 'targets':
      return targets(state, event);
    case 'acknowledge':
    case 'shelve':
    case 'unshelve':
      return handle(state, t, event, out);
    case 'answer':
      return answer(state, t, event);
    case 'undo':
      return undo(state, t, event.of);
    case 'fire-lit':
    case 'note':
    case 'probes':
      return;
  }
}

function launch(state: EngineState, t: number, event: Of<'launch'>): void {
  const launchedAt = t - (event.ago ?? 0);
  const { pizza = null, turnAfter, offAfter, id = null } = event;
  const noticed = state.onStone.find(
    (one) => !one.isConfirmed && Math.abs(one.launchedAt - launchedAt) < SAME,
  );
  if (noticed) state.onStone = state.onStone.filter((one) => one !== noticed);
  // Taken off without a tap, or never there: a stone holds one that nobody told of.
  for (const other of state.onStone.filter((one) => !one.isConfirmed))
    takeOff(state, other, launchedAt, null);
  putOn(state, { launchedAt, pizza, eventId: id, isConfirmed: true, turnAfter, offAfter });
}

function turn(state: EngineState, t: number, event: Of<'turn'>): void {
  const baking = meant(state, event.pizza);
  if (!baking) return;
  baking.turnedAt = t;
  baking.turnEventId = event.id ?? null;
}

function off(state: EngineState, t: number, event: Of<'off'>): void {
  const baking = meant(state, event.pizza);
  if (baking) takeOff(state, baking, t - (event.ago ?? 0), event.id ?? null);
}

function bakeTimes(state: EngineState, event: Of<'bake-times'>): void {
  const baking = meant(state, event.pizza);
  if (!baking) return;
  baking.turnAfter = event.turnAfter ?? baking.turnAfter;
  baking.offAfter = event.offAfter ?? baking.offAfter;
}

function lidUp(state: EngineState, t: number, eventId: string | null): void {
  const { dome } = factsOf(state, t);
  if (!isOpen(state.lid)) open(state.lid, t, t, dome?.celsius ?? 0, dome?.celsius ?? 0);
  state.lid.phase = 'open';
  state.lid.isTapped = true;
  state.lid.eventId = eventId;
  if (state.onStone.length > 0) state.watch.lidAt ??= t;
}

function targets(state: EngineState, { stone, dome, domeLimit, id }: Of<'targets'>): void {
  if (id !== undefined) state.targetsBefore.push({ eventId: id, targets: state.targets });
  if (state.targetsBefore.length > 20) state.targetsBefore.shift();
  state.targets = {
    ...state.targets,
    ...(stone && { stone }),
    ...(dome && { dome }),
    ...(domeLimit !== undefined && { domeLimit }),
  };
  state.forecastAt = -1e6;
}

type Handling = Of<'acknowledge'> | Of<'shelve'> | Of<'unshelve'>;

function handle(state: EngineState, t: number, event: Handling, out: EngineOutput[]): void {
  const kept = state.alarms.filter((one) => one.alert === event.alert);
  if (kept.length === 0 && event.event === 'shelve') kept.push(newAlarm(state, t, event.alert));
  for (const one of kept) {
    const move = moveOf(state, one, t, event);
    if (move) out.push(told(one, move, t));
  }
}

function newAlarm(state: EngineState, t: number, alert: KeptAlarm['alert']): KeptAlarm {
  const said = { message: '', urgency: 'prompt' as const, why: {} };
  const made: KeptAlarm = { alert, key: null, pizza: null, alarm: freshAlarm(t), said };
  state.alarms.push(made);
  return made;
}

function moveOf(
  state: EngineState,
  kept: KeptAlarm,
  t: number,
  event: Handling,
): ReturnType<typeof shelve> | null {
  if (event.event === 'acknowledge') return acknowledge(kept.alarm, t);
  if (event.event === 'shelve') return shelve(kept.alarm, t, event.seconds);
  return unshelve(kept.alarm, t, conditionNow(state, factsOf(state, t), kept.alert));
}

/** Yes makes what was noticed an event; no takes it back and makes the noticing shyer. */
function answer(state: EngineState, t: number, event: Of<'answer'>): void {
  const { noticed, at, yes, pizza, id = null } = event;
  if (noticed === 'launch') return answerLaunch(state, { at, yes, pizza, id });
  if (noticed === 'off') {
    if (yes && !state.taken.some((taken) => Math.abs(taken.at - at) < SAME))
      off(state, t, { event: 'off', pizza });
    if (!yes) putBack(state, (taken) => Math.abs(taken.at - at) < SAME);
  }
  if (noticed === 'lid-open' && !yes) close(state.lid, t);
}

function answerLaunch(
  state: EngineState,
  { at, yes, pizza, id }: { at: number; yes: boolean; pizza: string | undefined; id: string | null },
): void {
  const baking = state.onStone.find((one) => Math.abs(one.launchedAt - at) < SAME);
  if (!yes) {
    state.watch.refused += 1;
    if (baking && !baking.isConfirmed) state.onStone = state.onStone.filter((one) => one !== baking);
    return;
  }
  const known = baking ?? putOn(state, { launchedAt: at, pizza: null, eventId: id, isConfirmed: true });
  known.isConfirmed = true;
  known.pizza = pizza ?? known.pizza;
  known.eventId ??= id;
}

function undo(state: EngineState, t: number, of: string): void {
  if (isOpen(state.lid) && state.lid.eventId === of) close(state.lid, t);
  state.onStone = state.onStone.filter(({ eventId }) => eventId !== of);
  state.taken = state.taken.filter(({ baking }) => baking.eventId !== of);
  putBack(state, ({ eventId }) => eventId === of);
  for (const baking of state.onStone) {
    if (baking.turnEventId !== of) continue;
    baking.turnedAt = null;
    baking.turnEventId = null;
  }
  const before = state.targetsBefore.find(({ eventId }) => eventId === of);
  if (before) state.targets = before.targets;
}
