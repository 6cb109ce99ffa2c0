import type { GrillAct, GrillList } from '../../../shared/api/grill.ts';
import type { Band, GrillLesson, GrillPrior } from '../../../shared/engine.ts';
import { Fault, messageOf } from '../../../shared/fault.ts';
import { knownOf } from '../../core/core.ts';
import { withBreaths } from '../../store/breath.ts';
import type { Store } from '../../store/store.ts';

const KEY = 'grills';
/** Where a single grill was kept before they had names. */
const OLD_KEY = 'grill-prior';
const FIRST = 'My grill';
const MAX_GRILLS = 20;
/** So many cooks that taught, and that were set aside, are remembered of a grill. */
const MAX_TAUGHT = 200;
const MAX_ASIDE = 10;

/** A cook of which something may be learnt, `startedAt` ms since the epoch. */
export type Teaching = {
  id: number;
  startedAt: number;
  lesson(prior: GrillPrior | null): Generator<void, GrillLesson | null, void>;
};

type Taught = { startedAt: number; outside: number | null; minutes: number | null };
type Aside = Taught & { cook: number; prior: GrillPrior };
/** `taught`: the cooks that taught it, by when they began, ms: one that comes in again does not teach twice. */
type Grill = { name: string; prior: GrillPrior | null; taught: Taught[]; aside: Aside[] };
type StoredGrills = { current: string; grills: Grill[] };

const iso = (ms: number): string => new Date(ms).toISOString();

const fresh = (name: string, prior: GrillPrior | null = null): Grill => ({
  name,
  prior,
  taught: [],
  aside: [],
});

/** What cooks taught of each grill, and which grill it is now. */
export class GrillService {
  private readonly store: Store;
  /** Lessons one after the other: each builds on what the one before left. */
  private learning: Promise<void> = Promise.resolve();

  constructor(store: Store) {
    this.store = store;
  }

  /** What a cook of now starts from. */
  prior(): GrillPrior | null {
    return currentOf(this.stored()).prior;
  }

  async list(band: Band): Promise<GrillList> {
    const { current, grills } = this.stored();
    const list: GrillList = { current, grills: [] };
    for (const { name, prior, taught, aside } of grills)
      list.grills.push({
        name,
        known: await withBreaths(knownOf(prior, band)),
        cooks: taught.map(({ startedAt, ...rest }) => ({ startedAt: iso(startedAt), ...rest })),
        aside: aside.map(({ cook, startedAt }) => ({ cook, startedAt: iso(startedAt) })),
      });
    return list;
  }

  /** @throws Fault `not-found` where there is no such grill or cook, `conflict` where there is already, or it is in use */
  act(act: GrillAct): void {
    const stored = this.stored();
    if (act.do === 'add') return this.save(added(stored, act.name));
    const grill = stored.grills.find(({ name }) => name === act.name);
    if (!grill) throw new Fault('not-found', `There is no grill called ${act.name}.`);
    if (act.do === 'choose') return this.save({ ...stored, current: act.name });
    if (act.do === 'remove') {
      if (stored.current === act.name)
        throw new Fault('conflict', `${act.name} is the current grill: choose another one first.`);
      return this.save({ ...stored, grills: stored.grills.filter((candidate) => candidate !== grill) });
    }
    this.put(act.do === 'forget' ? fresh(act.name) : settled(grill, act.cook, act.as));
  }

  forgetCurrent(): void {
    this.put(fresh(this.stored().current));
  }

  /**
   * Learns from a cook of the grill of now, in pieces between which others have their turn.
   * @returns once it is learnt, and what was to be learnt before
   */
  learnFrom(cook: Teaching): Promise<void> {
    const { current } = this.stored();
    this.learning = this.learning
      .then(() => this.learn(current, cook))
      .catch((error: unknown) => {
        console.error(`What cook ${cook.id} taught of ${current} was not kept: ${messageOf(error)}.`);
      });
    return this.learning;
  }

  /** @returns once all that was to be learnt is */
  learnt(): Promise<void> {
    return this.learning;
  }

  private async learn(name: string, cook: Teaching): Promise<void> {
    const before = this.stored().grills.find((grill) => grill.name === name);
    if (!before || before.taught.some(({ startedAt }) => startedAt === cook.startedAt)) return;
    const lesson = await withBreaths(cook.lesson(before.prior));
    // it may have been forgotten meanwhile: then this cook is of no grill that is still known so
    const now = this.stored().grills.find((grill) => grill.name === name);
    if (lesson && now && JSON.stringify(now.prior) === JSON.stringify(before.prior))
      this.put(taughtBy(now, cook, lesson));
  }

  private stored(): StoredGrills {
    const stored = this.store.setting(KEY) as StoredGrills | undefined; // written by `keep` alone
    if (stored) return stored;
    const old = this.store.setting(OLD_KEY) as GrillPrior | null | undefined; // written before grills had names
    return { current: FIRST, grills: [fresh(FIRST, old ?? null)] };
  }

  private save(stored: StoredGrills): void {
    this.store.putSetting(KEY, stored);
  }

  private put(grill: Grill): void {
    const { current, grills } = this.stored();
    this.save({
      current,
      grills: grills.map((candidate) => (candidate.name === grill.name ? grill : candidate)),
    });
  }
}

const currentOf = ({ current, grills }: StoredGrills): Grill =>
  grills.find(({ name }) => name === current) ?? grills[0] ?? fresh(FIRST);

function added(stored: StoredGrills, name: string): StoredGrills {
  if (stored.grills.some((grill) => grill.name === name))
    throw new Fault('conflict', `There is a grill called ${name} already.`);
  if (stored.grills.length >= MAX_GRILLS)
    throw new Fault('conflict', `More than ${MAX_GRILLS} grills can’t be stored.`);
  return { current: name, grills: [...stored.grills, fresh(name)] };
}

function taughtBy(grill: Grill, { id, startedAt }: Teaching, lesson: GrillLesson): Grill {
  const { prior, fits, outside, minutes } = lesson;
  const taught: Taught = { startedAt, outside, minutes };
  if (!fits) {
    const others = grill.aside.filter(({ cook }) => cook !== id);
    return { ...grill, aside: [...others, { cook: id, prior, ...taught }].slice(-MAX_ASIDE) };
  }
  return { ...grill, prior, taught: [...grill.taught, taught].slice(-MAX_TAUGHT) };
}

function settled(grill: Grill, cook: number, as: 'changed' | 'odd'): Grill {
  const found = grill.aside.find((entry) => entry.cook === cook);
  if (!found) throw new Fault('not-found', `No cook ${cook} of ${grill.name} was set aside.`);
  if (as === 'odd') return { ...grill, aside: grill.aside.filter((entry) => entry !== found) };
  const { prior, startedAt, outside, minutes } = found;
  return { name: grill.name, prior, taught: [{ startedAt, outside, minutes }], aside: [] };
}
