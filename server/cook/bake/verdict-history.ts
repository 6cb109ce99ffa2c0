import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { Lesson, LessonList } from '../../../shared/evening/plan.ts';
import { isTaught, learn, type Tasted } from '../../evening/bake/verdict-learning.ts';
import { usualOf, type Fall, type Usual } from '../../evening/bake/usual-fall.ts';
import type { Store } from '../../store/store.ts';
import type { RunningCook } from '../live/running.ts';

const KEY = 'forgotten';
/** What an eater said before this moment, ms, does not count; everyone's with `eater` null. */
type Forgotten = { eater: string | null; before: number };
type Rows = { base: Tasted[]; top: Tasted[] };
/** What is known of an eater, ln; `isTaught`: enough verdicts of the eater stand behind it. */
export type Taught = { base: Lesson; top: Lesson; isTaught: boolean };

/** What the verdicts and launches of earlier pizzas teach. A rehearsal teaches only itself. */
export class VerdictHistory {
  private readonly store: Store;

  constructor(store: Store) {
    this.store = store;
  }

  of(eater: string, cook: RunningCook | null): Taught {
    const rows = this.rows(cook);
    return {
      base: learn(rows.base, eater),
      top: learn(rows.top, eater),
      isTaught: isTaught(rows.base, eater),
    };
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

  /** What a launch usually does to this stone, and to the dome over it; null before the first. */
  usual(running: RunningCook | null, stone: string): { stone: Usual | null; dome: Usual | null } {
    const falls: { stone: Fall[]; dome: Fall[] } = { stone: [], dome: [] };
    for (const { pizzas } of this.baked(running))
      for (const { baked } of pizzas) {
        if (!baked || !('had' in baked) || baked.stone !== stone) continue;
        falls.stone.push(baked.fall);
        falls.dome.push(baked.domeFall);
      }
    return { stone: usualOf(falls.stone), dome: usualOf(falls.dome) };
  }

  /** Pizzas that came off, cook by cook and in the order of their launches, oldest first. */
  private baked(running: RunningCook | null): { startedAt: number; pizzas: Pizza[] }[] {
    const cooks = this.store.cooks().filter(({ id, rehearsal }) => !rehearsal || id === running?.id);
    return cooks.reverse().map(({ id, startedAt }) => {
      const pizzas = this.store
        .pizzas(id)
        .filter(({ baked, launchedAt, offAt }) => baked && launchedAt !== null && offAt !== null);
      return { startedAt, pizzas: pizzas.sort((a, b) => (a.launchedAt ?? 0) - (b.launchedAt ?? 0)) };
    });
  }

  private rows(running: RunningCook | null): Rows {
    const rows: Rows = { base: [], top: [] };
    const forgotten = this.forgotten();
    for (const { startedAt, pizzas } of this.baked(running))
      for (const pizza of pizzas) {
        const at = startedAt + (pizza.offAt ?? 0) * 1000;
        const gone = forgotten.some((f) => at <= f.before && (f.eater === null || f.eater === pizza.eater));
        if (!gone) addTo(rows, pizza);
      }
    return rows;
  }
}

function addTo(rows: Rows, pizza: Pizza): void {
  const { eater, base, top, baked } = pizza;
  if (!baked) return;
  const had = hadOf(pizza);
  if (base && had.base > 0 && baked.wantedBase > 0)
    rows.base.push({ eater, given: Math.log(had.base / baked.wantedBase), verdict: base });
  if (top && had.top !== null && had.top > 0 && baked.wantedTop > 0)
    rows.top.push({ eater, given: Math.log(had.top / baked.wantedTop), verdict: top });
}

/** What base and top had, s; of rows written before only the clock tells. */
function hadOf({ baked, launchedAt, offAt }: Pizza): { base: number; top: number | null } {
  if (baked && 'had' in baked) return { base: baked.had, top: baked.top };
  const byClock = (offAt ?? 0) - (launchedAt ?? 0);
  return { base: byClock, top: byClock };
}
