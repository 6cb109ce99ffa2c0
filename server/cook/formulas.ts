import type { Formula } from '../../shared/evening.ts';
import { SHIPPED } from '../evening/dough/formula.ts';
import type { Store } from '../store/store.ts';

const KEY = 'formulas';

const own = (store: Store): Formula[] => (store.setting(KEY) as Formula[] | undefined) ?? []; // written here alone

/** Every version of every formula, those that come along first. */
export const allFormulas = (store: Store): Formula[] => [...SHIPPED, ...own(store)];

/** Keeps a formula as the next version of its id; older ones stay, so that a cook still names what it used. */
export function keepFormula(store: Store, formula: Formula): Formula {
  const before = allFormulas(store).filter(({ id }) => id === formula.id);
  const version = Math.max(0, ...before.map((one) => one.version)) + 1;
  const kept = { ...formula, version };
  store.putSetting(KEY, [...own(store), kept]);
  return kept;
}
