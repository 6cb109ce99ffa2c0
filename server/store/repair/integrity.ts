import { openStore } from '../sqlite.ts';

/** Reads all that is kept once. @returns what of it can't be read, in words; null where that is nothing */
export function leftOutOf(folder: string): string | null {
  const store = openStore(folder);
  try {
    for (const { id } of store.cooks()) {
      store.events(id);
      store.pizzas(id);
      store.records(id);
      for (const line of store.lines(id)) void line;
    }
    return store.repairNote();
  } finally {
    store.close();
  }
}
