import { formula as schema, type Formula } from '../../../shared/evening/formula.ts';
import { SHIPPED_FORMULAS } from '../../evening/dough/recipe/shipped-formulas.ts';
import type { Store } from '../../store/store.ts';

const KEY = 'formulas';

/** Those that were kept before a part was added get its default. What can't be read any more is left out, not lost. */
function own(store: Store): Formula[] {
  const stored = store.setting(KEY);
  if (!Array.isArray(stored)) return [];
  return stored.flatMap((each) => {
    const read = schema.safeParse(each);
    return read.success ? [read.data] : [];
  });
}

/** Every version of every formula, those that come along first. */
export const allFormulas = (store: Store): Formula[] => [...SHIPPED_FORMULAS, ...own(store)];

/** Keeps a formula as the next version of its id; older ones stay, so that a cook still names what it used. */
export function keepFormula(store: Store, formula: Formula): Formula {
  const before = allFormulas(store).filter(({ id }) => id === formula.id);
  const version = Math.max(0, ...before.map((formula) => formula.version)) + 1;
  const saved = { ...formula, version };
  const stored = store.setting(KEY);
  store.putSetting(KEY, [...(Array.isArray(stored) ? (stored as unknown[]) : []), saved]);
  return saved;
}
