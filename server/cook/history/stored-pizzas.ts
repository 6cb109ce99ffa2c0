import { foldEvents } from '../../../shared/cook/reduce.ts';
import { pizzasOf } from '../../../shared/cook/run.ts';
import { DEFAULT_BAKE, DEFAULT_TARGETS } from '../../../shared/engine.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { Store, StoredCook, StoredEvent } from '../../store/store.ts';

/** The pizzas of a cook that is kept, in the order of the run, as its events make them. */
export function storedPizzas(
  store: Store,
  { id, header }: Pick<StoredCook, 'id' | 'header'>,
  events: readonly StoredEvent[] = store.events(id),
): Pizza[] {
  const cook = foldEvents({ ...DEFAULT_TARGETS, ...header.targets }, events);
  return pizzasOf(cook, store.pizzas(id), header.bake ?? DEFAULT_BAKE);
}
