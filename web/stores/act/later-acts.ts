import type { AlertName } from '../../../shared/alert/kinds.ts';
import { call } from '../../api.ts';
import { cookKey } from '../live.ts';
import { amend, attempt, happened, offerUndo, undoEvent } from './acts.ts';

/** What is done from sheets and pages that are fetched later than the first screen. */

/** A pizza that is due stays on for a minute more. */
export const bakeLonger = (id: string, label: string): Promise<boolean> =>
  happened(label, `/api/pizzas/${encodeURIComponent(id)}/longer`);

/** What was tapped last of a pizza truly happened so many seconds earlier. */
export const earlier = (id: string, seconds: number): Promise<unknown> =>
  amend(`earlier ${id}`, () => call('POST', `/api/pizzas/${encodeURIComponent(id)}/earlier`, { seconds }));

export const undoListed = (id: string): Promise<unknown> => attempt(`undo ${id}`, undoEvent(id));

/** All cautions are shown again. */
export const restoreCautions = (): Promise<unknown> =>
  attempt('cautions', () => call('DELETE', '/api/cautions'));

export const shelve = (alert: AlertName, minutes: number): Promise<unknown> =>
  attempt(`quiet ${alert}`, () => call('POST', `/api/alerts/${alert}/shelve`, { minutes }));

export type Wish = { name: string; eater: string; likes: string; turnAfter: number | null; offAfter: number };

export async function addPizza(wish: Wish): Promise<boolean> {
  const cook = cookKey.peek();
  const pizza = await attempt('add pizza', () =>
    call<{ id: string; name: string }>('POST', '/api/pizzas', wish),
  );
  if (pizza)
    offerUndo(
      `${pizza.name} added`,
      async () => void (await call('DELETE', `/api/pizzas/${pizza.id}`)),
      cook,
    );
  return pizza !== null;
}

export async function removePizza(id: string, name: string): Promise<void> {
  const cook = cookKey.peek();
  const done = await attempt(`remove ${id}`, () => call('DELETE', `/api/pizzas/${encodeURIComponent(id)}`));
  if (done)
    offerUndo(
      `${name} taken out`,
      async () => void (await call('POST', `/api/pizzas/${encodeURIComponent(id)}/restore`)),
      cook,
    );
}

export type Proposed = { order: { id: string; reason: string }[] };

/** A better order of the waiting pizzas, with reasons; null where the server does not say. */
export const proposedRun = (): Promise<Proposed | null> =>
  attempt('propose run', () => call<Proposed>('GET', '/api/run'));

/** Ends the running cook; it goes to the past ones. */
export const endCook = (id: number): Promise<unknown> =>
  attempt('end', () => call('PATCH', `/api/cooks/${id}`, { ended: true }));
