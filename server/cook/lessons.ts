import type { LessonList } from '../../shared/plan.ts';
import type { Pizza } from '../../shared/pizza.ts';
import { learn, type Tasted } from '../evening/bake/learn.ts';
import type { Store } from '../store/store.ts';
import type { RunningCook } from './running.ts';

const KEY = 'forgotten';
/** What an eater said before this moment, ms, does not count; everyone's with `eater` null. */
type Forgotten = { eater: string | null; before: number };
type Rows = { base: Tasted[]; top: Tasted[] };

/** What the verdicts of earlier pizzas teach. A rehearsal teaches only itself. */
export class Lessons {
  private readonly store: Store;

  constructor(store: Store) {
    this.store = store;
  }

  /** Seconds to add at the reference, and the words that say so. */
  of(eater: string, cook: RunningCook | null): { base: number; top: number; words: string } {
    const rows = this.rows(cook);
    const [base, top] = [learn(rows.base, eater), learn(rows.top, eater)];
    return { base: base.seconds, top: top.seconds, words: base.words };
  }

  all(cook: RunningCook | null): LessonList {
    const rows = this.rows(cook);
    const eaters = [...new Set([...rows.base, ...rows.top].map(({ eater }) => eater))];
    return {
      lessons: eaters.map((eater) => ({
        eater,
        base: learn(rows.base, eater),
        top: learn(rows.top, eater),
      })),
    };
  }

  forget(eater: string | null, before: number): void {
    this.store.putSetting(KEY, [...this.forgotten(), { eater, before }]);
  }

  private forgotten(): Forgotten[] {
    return (this.store.setting(KEY) as Forgotten[] | undefined) ?? []; // written by `forget` alone
  }

  /** °C by which earlier pizzas drew the stone down, oldest first. */
  draws(running: RunningCook | null): number[] {
    const cooks = this.store.cooks().filter(({ id, rehearsal }) => !rehearsal || id === running?.id);
    return cooks
      .reverse()
      .flatMap(({ id }) => this.store.pizzas(id).flatMap(({ baked }) => baked?.drew ?? []));
  }

  private rows(running: RunningCook | null): Rows {
    const rows: Rows = { base: [], top: [] };
    const forgotten = this.forgotten();
    const cooks = this.store.cooks().filter(({ id, rehearsal }) => !rehearsal || id === running?.id);
    for (const { id, startedAt } of cooks.reverse())
      for (const pizza of this.store.pizzas(id)) {
        const at = startedAt + (pizza.offAt ?? 0) * 1000;
        const gone = forgotten.some((f) => at <= f.before && (f.eater === null || f.eater === pizza.eater));
        if (!gone) addTo(rows, pizza);
      }
    return rows;
  }
}

function addTo(rows: Rows, { eater, base, top, baked }: Pizza): void {
  if (!baked) return;
  if (base) rows.base.push({ eater, dose: baked.base, wanted: baked.wantedBase, verdict: base });
  if (top) rows.top.push({ eater, dose: baked.top, wanted: baked.wantedTop, verdict: top });
}
