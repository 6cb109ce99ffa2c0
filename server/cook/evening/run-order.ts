import { DEFAULT_TARGETS, type Band, type EngineView } from '../../../shared/engine.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { temperatureText, type Unit } from '../../../shared/units.ts';
import { bestRun, ownBand, reason, runIn, type Run, type Wish } from '../../evening/run/proposed-order.ts';
import { pace } from '../../evening/run/hands-pace.ts';
import { isOnStone, isWaiting } from '../../../shared/cook/run.ts';
import { nextLaunch } from './next-launch.ts';
import { heldStone } from '../../core/core.ts';
import type { RunningCook } from '../live/running.ts';

/** What of a cook its run is foreseen by. */
type Cook = Pick<RunningCook, 'view' | 'ahead' | 'back' | 'pizzas' | 'targets' | 'header'>;

const NEUTRAL_TASTE = { base: 0, crust: 0, wetness: 0 };

export type Proposal = { id: string; reason: string };

export const withReasons = ({ launches }: Run, band: Band, unit: Unit): Proposal[] =>
  launches.map((launch) => ({ id: launch.wish.id, reason: reason(launch, band, unit) }));

const bandOf = (cook: Cook): Band => cook.targets.stone ?? DEFAULT_TARGETS.stone;

function wishesOf({ pizzas }: Cook): Wish[] {
  const had = (eater: string): number => pizzas.filter((p) => p.eater === eater && !isWaiting(p)).length;
  return pizzas.filter(isWaiting).map(({ id, eater, taste = NEUTRAL_TASTE, offAfter, stage = 'ball' }) => ({
    id,
    eater,
    taste,
    seconds: offAfter,
    had: had(eater),
    isBegun: stage !== 'ball',
  }));
}

/** What is foreseen of the run; `text` is what may be suggested, of this unit. */
type Ahead = Omit<NonNullable<Now['run']>, 'text'>;

/** Another order is worth saying from so much sooner on, s, and goes on being said while it is half of that. */
const MIN_SAVED_SECONDS = 120;

type Made = {
  forecast: EngineView['forecast'];
  pizzas: readonly Pizza[];
  state: string;
  ahead: Ahead | null;
};
/** A run is gone through once a forecast, and where the pizzas or the stone's state change. */
const made = new WeakMap<Cook, Made>();

function aheadOf(cook: Cook): Ahead | null {
  const { forecast, state } = cook.view();
  const { pizzas } = cook;
  const before = made.get(cook);
  if (before?.forecast === forecast && before.pizzas === pizzas && before.state === state)
    return before.ahead;
  const ahead = runAhead(cook, before?.ahead?.order ?? null);
  made.set(cook, { forecast, pizzas, state, ahead });
  return ahead;
}

function runAhead(cook: Cook, stood: Ahead['order']): Ahead | null {
  const stone = cook.ahead();
  const wishes = wishesOf(cook);
  const band = bandOf(cook);
  const [first] = wishes;
  if (!stone || !first) return null;
  const { launches, lastOffAt, cost } = runIn(wishes, stone, band);
  const isBaking = cook.pizzas.some((p) => !isWaiting(p));
  const best = isBaking && wishes.length > 1 ? bestRun(wishes, stone, band) : null;
  const pizzas = best?.launches.map(({ wish }) => wish.id) ?? [];
  const isStood = stood?.pizzas.join() === pizzas.join();
  const sooner = Math.round(
    Math.min(cost - (best?.cost ?? cost), lastOffAt - (best?.lastOffAt ?? lastOffAt)),
  );
  const bake = { band: ownBand(first.taste, band), seconds: first.seconds };
  const back = cook.view().state === 'ready' ? null : cook.back(bake);
  return {
    launches: launches.map(({ wish, launchAt, stone: celsius }) => ({
      pizza: wish.id,
      at: launchAt,
      stone: celsius,
    })),
    lastOffAt,
    dome: back?.sooner ? { celsius: back.sooner.dome, sooner: Math.round(back.at - back.sooner.at) } : null,
    order: sooner >= MIN_SAVED_SECONDS / (isStood ? 2 : 1) ? { pizzas, sooner } : null,
  };
}

/** When the next pizza of this cook can go on, s, gone by where that is now; null where nothing can be said. */
export function nextLaunchOf(cook: Cook, t: number): number | null {
  const view = cook.view();
  const own = view.onStone.length > 0 ? aheadOf(cook)?.launches[0]?.at : undefined;
  return own ?? nextLaunch(view, t, bandOf(cook));
}

const minutes = (seconds: number): string => `${Math.round(seconds / 60)} min`;

/** The first pizza that would go before another one, and that one: the rest follows of itself. */
function orderText({ pizzas, sooner }: NonNullable<Ahead['order']>, run: readonly Pizza[]): string {
  const before = run.filter(isWaiting);
  const i = pizzas.findIndex((id, place) => id !== before[place]?.id);
  const name = (pizza: Pizza | undefined): string => pizza?.name || 'this one';
  const [first, then] = [run.find(({ id }) => id === pizzas[i]), before[i]];
  return `${name(first)} before ${name(then)}: all are out about ${minutes(sooner)} sooner.`;
}

/**
 * The run as it is foreseen, and what would have it out sooner; null where nothing can be said.
 * @param isDrivable nothing speaks against a hotter fire
 */
export function runNow(cook: Cook, unit: Unit, isDrivable: boolean): Now['run'] {
  const ahead = aheadOf(cook);
  if (!ahead) return null;
  const { launches, lastOffAt, order } = ahead;
  const dome = isDrivable ? ahead.dome : null;
  const domeText =
    dome &&
    `With the dome at ${temperatureText(dome.celsius, unit)} the stone is back about ${minutes(dome.sooner)} sooner.`;
  return { launches, lastOffAt, dome, order, text: order ? orderText(order, cook.pizzas) : domeText };
}

/** The waiting pizzas of the running cook in a better order. */
export function proposedRun(cook: Cook, unit: Unit): Proposal[] {
  const band = bandOf(cook);
  const stone = cook.ahead() ?? heldStone(cook.header.grill ?? null, band);
  return withReasons(bestRun(wishesOf(cook), stone, band), band, unit);
}

/** Gives these waiting pizzas the places that they have among them, in this order. */
export function inOrder(cook: RunningCook, ids: readonly string[]): void {
  const waiting = cook.pizzas.filter(isWaiting);
  const order = [...ids.flatMap((id) => waiting.find((p) => p.id === id) ?? []), ...waiting];
  const places = waiting.map((p) => p.place);
  [...new Set(order)].forEach((pizza, i) => cook.putPizza({ ...pizza, place: places[i] ?? pizza.place }));
}

/** What hands should do for the next pizza, so that it is on the peel as the stone is ready; null where none waits. */
export function promptOf(cook: Cook, t: number): Now['prompt'] {
  const next: Pizza | undefined = cook.pizzas.find(isWaiting);
  const from = nextLaunchOf(cook, t);
  if (!next || from === null) return null;
  const at = Math.max(t, from);
  const stage = next.stage ?? 'ball';
  const onPeelSince = stage === 'topped' ? next.stagedAt : undefined;
  const { action, text, launchAt } = pace(t, at, {
    name: next.name || 'the next pizza',
    stage,
    ...(onPeelSince !== undefined && { onPeelSince }),
  });
  // A stone that bakes is not ready for another, whatever the clock says.
  if (action === 'launch' && cook.pizzas.some(isOnStone)) return null;
  return { pizza: next.id, action, text, stage, launchAt };
}
