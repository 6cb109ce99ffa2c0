import { signal } from '@preact/signals';
import type { PizzaExpects, PizzaPatch } from '../../../shared/evening/pizza.ts';
import type { AlertName } from '../../../shared/alert/kinds.ts';
import { call, Refused, errorText } from '../../api.ts';
import { cookKey, lost, now } from '../live.ts';
import type { PlainEvent, Spot } from '../derive/unsent-taps.ts';
import { holdTap, tapId } from './unsent.ts';
import { ofCook, offer, stillOffered, without, type Offer } from './undo.ts';

/**
 * What a person does here: each is sent, then offered for undo; what goes wrong is shown by `actionError`.
 */

export const offers = signal<Offer[]>([]);
export const actionError = signal<string | null>(null);
/** Names of acts that are on their way, so that a double tap sends one. */
export const busy = signal<ReadonlySet<string>>(new Set());

let nextKey = 1;
/** The action that `actionError` is about: once it succeeds, the error is cleared; so it is once a server that was away is back. */
let failed = '';
let isOfServer = false;

const isAway = (error: unknown): boolean => error instanceof Refused && error.status === 0;

/** Runs `work` once however often it is tapped meanwhile. @returns its answer, or null when it failed */
export async function attempt<Answer>(name: string, work: () => Promise<Answer>): Promise<Answer | null> {
  if (busy.value.has(name)) return null;
  busy.value = new Set([...busy.value, name]);
  try {
    const answer = await work();
    if (failed === name) actionError.value = null;
    return answer;
  } catch (error) {
    // A request that a newer one replaced is no error.
    if (!(error instanceof DOMException && error.name === 'AbortError')) actionError.value = errorText(error);
    failed = name;
    isOfServer = isAway(error);
    return null;
  } finally {
    busy.value = new Set([...busy.value].filter((other) => other !== name));
  }
}

/** To be called when the server answers again. */
export function serverIsBack(): void {
  if (isOfServer) actionError.value = null;
  isOfServer = false;
}

/**
 * Runs `work` as `attempt` does; where the server is known to be away, or turns out to be, `hold` has the tap wait for it.
 * @returns the answer, "waits", or null where it failed
 */
async function attemptOrHold<Answer>(
  name: string,
  work: () => Promise<Answer>,
  hold: (() => void) | null,
): Promise<Answer | 'waits' | null> {
  const canWait = hold !== null && cookKey.peek() !== null;
  const wait = (): 'waits' => {
    hold?.();
    actionError.value = null;
    return 'waits';
  };
  if (canWait && lost.peek() !== null) return wait();
  let wasAway = false;
  const answer = await attempt(name, () =>
    work().catch((error: unknown) => {
      wasAway = isAway(error);
      throw error;
    }),
  );
  return answer ?? (canWait && wasAway ? wait() : null);
}

/** The last act of each line. */
const lines = new Map<string, Promise<unknown>>();

/** Begins `work` once the act before it in the line of this name is over, whatever came of that. */
export function inTurn<Answer>(name: string, work: () => Promise<Answer>): Promise<Answer> {
  const queued = (lines.get(name) ?? Promise.resolve()).then(work, work);
  lines.set(name, queued);
  const leave = (): unknown => lines.get(name) === queued && lines.delete(name);
  queued.then(leave, leave);
  return queued;
}

/**
 * Changes something kept. Unlike a tap for something done, a second change is not the same one over again: it waits for
 * the first, and the last is how it is left.
 * @returns the answer, or null when it failed
 */
export const amend = <Answer>(name: string, work: () => Promise<Answer>): Promise<Answer | null> =>
  inTurn(name, () => attempt(name, work));

export function offerUndo(
  label: string,
  undo: (() => Promise<void>) | null,
  cook: string | null = null,
): void {
  offers.value = offer(offers.value, { key: nextKey++, label, undo, cook }, performance.now());
}

export function dropOldOffers(ms: number): void {
  const left = ofCook(stillOffered(offers.value, ms), cookKey.peek());
  if (left.length < offers.value.length) offers.value = left;
}

export async function takeBack(offer: Offer): Promise<void> {
  offers.value = without(offers.value, offer.key);
  await attempt(`undo ${offer.key}`, async () => offer.undo?.());
}

type EventAnswer = { id: string; t: number };

export const undoEvent = (id: string) => async (): Promise<void> => {
  await call('DELETE', `/api/events/${encodeURIComponent(id)}`);
};

/** Something that happened at the grill. @param label what the undo says: "Vents moved" */
export async function happened(label: string, path: string, body?: unknown, tap?: Tap): Promise<boolean> {
  const cook = cookKey.peek();
  const answer = await attemptOrHold(
    path + label,
    () => call<EventAnswer>('POST', path, body),
    tap ? () => holdTap({ ...tap, label }) : null,
  );
  if (answer !== null && answer !== 'waits') offerUndo(label, undoEvent(answer.id), cook);
  return answer !== null;
}

type Tap = { event: PlainEvent; pizza?: string; note?: string };

export const tellEvent = (event: PlainEvent, label: string, note?: string): Promise<boolean> =>
  happened(label, '/api/events', { event, ...(note && { note }) }, { event, ...(note && { note }) });

/** A pizza of the run, or one that nobody announced (`id` null). */
export const tellPizza = (
  does: 'launch' | 'turn' | 'off',
  id: string | null,
  label: string,
  seen: PizzaExpects = seenNow(id),
): Promise<boolean> =>
  id === null && does !== 'launch'
    ? tellEvent(does, label)
    : happened(label, `/api/pizzas/${encodeURIComponent(id ?? 'next')}/${does}`, seen, {
        event: does,
        ...(id !== null && { pizza: id }),
      });

/** What this screen shows of the stone and of a pizza, for the server to refuse what no longer holds. */
function seenNow(id: string | null): PizzaExpects {
  const pizzas = now.peek()?.pizzas ?? [];
  const pizza = pizzas.find((p) => p.id === id);
  return {
    onStone: pizzas.filter((p) => p.launchedAt !== null && p.offAt === null).map((p) => p.id),
    ...(pizza && { turned: pizza.turnedAt !== null }),
  };
}

export const answerQuestion = (id: string, yes: boolean, label: string): Promise<unknown> =>
  yes
    ? happened(label, `/api/questions/${encodeURIComponent(id)}`, { yes })
    : attempt(`question ${id}`, () => call('POST', `/api/questions/${encodeURIComponent(id)}`, { yes }));

export const acknowledge = (alert: AlertName): Promise<unknown> =>
  attempt(`seen ${alert}`, () => call('POST', `/api/alerts/${alert}/acknowledge`));

/** Not shown again in this cook. */
export const acknowledgeCaution = (id: string): Promise<unknown> =>
  attempt(`caution ${id}`, () => call('POST', `/api/cautions/${encodeURIComponent(id)}/acknowledge`));

export const unshelve = (alert: AlertName): Promise<unknown> =>
  attempt(`loud ${alert}`, () => call('POST', `/api/alerts/${alert}/unshelve`));

export const changePizza = (id: string, patch: PizzaPatch): Promise<unknown> =>
  amend(`pizza ${id} ${Object.keys(patch).join()}`, () =>
    call('PATCH', `/api/pizzas/${encodeURIComponent(id)}`, patch),
  );

/** Puts the waiting pizzas into this order. */
export const orderRun = (order: readonly string[]): Promise<unknown> =>
  amend('order run', () => call('PUT', '/api/run', { order }));

/** What the reading was corrected to; `id` names it, for `undoEvent`. */
type SpotAnswer = { id: string; celsius: number; quality: string; reason?: string };

/** @returns "waits" where the server is away, null where it refused it */
export function tellSpot(spot: Spot, label: string): Promise<SpotAnswer | 'waits' | null> {
  const id = tapId();
  return attemptOrHold(
    'spot',
    () => call<SpotAnswer>('POST', '/api/spot', { ...spot, id }),
    () => holdTap({ spot, label }, id),
  );
}

export const startCook = (): Promise<{ id: number } | null> =>
  attempt('start', () => call('POST', '/api/cooks', {}));

type RehearsalAct =
  | { do: 'pause' | 'resume' | 'leave' }
  | { do: 'start'; skip?: boolean; isDone?: boolean; pace?: number }
  | { do: 'pace'; pace: number }
  | { do: 'seek'; t: number };

export const rehearse = (act: RehearsalAct): Promise<unknown> =>
  ('pace' in act || 't' in act ? amend : attempt)(`rehearse ${act.do}`, () =>
    call('POST', '/api/rehearsal', act),
  );
