import {
  planInput,
  type Evening,
  type Happening,
  type PlanInput,
  type StepName,
} from '../../../shared/evening/evening.ts';
import { Fault } from '../../../shared/fault.ts';
import { fit, type Fit } from '../../../shared/evening/fit.ts';
import {
  planDraft,
  type Guest,
  type LivePlan,
  type PlanDraft,
  type PlanPizza,
} from '../../../shared/evening/plan.ts';
import { mixedLate } from '../../evening/plan/alternatives.ts';
import { workOut } from '../../evening/plan/planner.ts';
import { asPlanned, replan } from '../../evening/plan/replan.ts';
import { runFor } from '../../evening/run/run-for-guests.ts';
import type { Store } from '../../store/store.ts';
import { measure, takeBack } from './kneading.ts';
import {
  ballsGive,
  cookHappenings,
  inputOf,
  inRunOrder,
  isMixed,
  isNew,
  isProposed,
  isSame,
  mixedBy,
  namesOf,
  readPlan,
  type StoredPlan,
  type Tapped,
  stepsNow,
  without,
} from './stored-plan.ts';
import type { Planned } from './run-changes.ts';
import type { RunningCook } from '../live/running.ts';

const [KEY, DROPPED_KEY, GUESTS_KEY] = ['plan', 'plan-dropped', 'guests'] as const;
const MINUTE_MS = 60_000;
/** A cook that starts within this time of serving, or of its lit fire, belongs to the plan, ms before and after. */
const BELONGS_WITHIN_MS = { before: 18 * 60 * MINUTE_MS, after: 8 * 60 * MINUTE_MS };
/** Replanning is asked for with each change of a reading; once in so many ms is enough. */
const REPLAN_EVERY_MS = 5000;
/** A serving that is moved by no more than this, ms, or as was proposed, is of the same evening: what was done for it stays done. */
const EVENING_MS = 12 * 60 * MINUTE_MS;
/** The guests may wait for so long, ms, before the plan is said not to fit: with nothing done yet, and begun (ours). */
const LATE_AFTER_MS = { unbegun: 5 * MINUTE_MS, begun: 180 * MINUTE_MS };

/**
 * A step is offered from so long before it, ms: on the day for its day, but while another fire is tended only where the
 * dough of the plan is due, since nobody has hands for more.
 */
const NEXT_WITHIN_MS = { usual: 24 * 60 * MINUTE_MS, besideAnother: 30 * MINUTE_MS };

const iso = (ms: number): string => new Date(ms).toISOString();

/** What of a plan is the person's and the grill's own, and may change while the plan stands: bands, times, unit, stone. */
export type Own = Partial<PlanInput>;

/**
 * The plan that is kept, what has happened since, and how it stands now. A real cook that starts near its time follows
 * it; a rehearsal only when it is asked to, and then the plan's clock is shifted so that its fire is lit as it starts.
 */
export class PlanService {
  private readonly store: Store;
  private readonly own: () => Own;
  /** Held here, since the first screen asks for it many times a second. */
  private current: StoredPlan | null;
  /** The rehearsal that is played by the plan. */
  private rehearsal: number | null = null;
  private worked: { key: string; evening: Evening } | null = null;
  private last: { key: string; at: number; plan: LivePlan } | null = null;

  constructor(store: Store, own: () => Own) {
    this.store = store;
    this.own = own;
    this.current = readPlan(store.setting(KEY));
  }

  stored(): StoredPlan | null {
    return this.current;
  }

  private needed(lack: string): StoredPlan {
    if (!this.current) throw new Fault('not-found', lack);
    return this.current;
  }

  private save(stored: StoredPlan | null): void {
    this.last = null;
    this.current = stored;
    this.store.putSetting(KEY, stored);
  }

  private workedOut(input: PlanDraft['input'], now?: string): Evening {
    return workOut({ ...input, ...this.own(), ...(now !== undefined && { now }) });
  }

  /** The evening as first worked out. @throws Fault `not-found` without a plan */
  evening(): Evening {
    const input = inputOf(this.needed('There is no plan yet: make one first.'));
    const key = JSON.stringify([input, this.own()]);
    if (this.worked?.key !== key) this.worked = { key, evening: this.workedOut(input) };
    return this.worked.evening;
  }

  /** @throws Fault `invalid` when the evening can't be worked out; the old plan then stays */
  put(draft: PlanDraft): void {
    // Whether it fits is asked anew each time it is looked at.
    const input = planInput.omit({ now: true }).parse(draft.input);
    this.workedOut(input);
    const before = this.stored();
    const by = before ? Date.parse(input.serveAt) - Date.parse(before.draft.input.serveAt) : Infinity;
    const same = Math.abs(by) <= EVENING_MS || isProposed(before, this.last, input.serveAt) ? before : null;
    this.save({
      draft: planDraft.parse({ ...draft, input, run: runFor(draft) }),
      happened: (same?.happened ?? []).filter(({ step }) => step !== 'serve' || by === 0),
      cook: same?.cook ?? null,
      ids: same?.ids ?? [],
      measured: same?.measured ?? null,
    });
    this.store.putSetting(DROPPED_KEY, null);
    if (draft.guests.length > 0) this.store.putSetting(GUESTS_KEY, draft.guests);
  }

  clear(): void {
    if (this.current) this.store.putSetting(DROPPED_KEY, this.current);
    this.save(null);
  }

  hasDropped(): boolean {
    return this.current === null && readPlan(this.store.setting(DROPPED_KEY)) !== null;
  }

  /** @throws Fault `not-found` where none was dropped, or another was made since */
  restore(): void {
    const dropped = this.current ? null : readPlan(this.store.setting(DROPPED_KEY));
    if (!dropped) throw new Fault('not-found', 'There is no dropped plan to take back.');
    this.store.putSetting(DROPPED_KEY, null);
    this.save(dropped);
  }

  guests(): Guest[] {
    return planDraft.shape.guests.catch([]).parse(this.store.setting(GUESTS_KEY) ?? []);
  }

  /** Something of the plan was done, or is expected at another time. Told twice, the later word counts. */
  happened(step: StepName | 'serve', pizza: number | undefined, at: number, now = at): void {
    const stored = this.needed('There is no plan to tick off: make one first.');
    const announced: Tapped = {
      step,
      at: iso(at),
      ...(pizza !== undefined && { pizza }),
      ...(this.rehearsal !== null && { cook: this.rehearsal }),
      ...mixedBy(step, at <= now, stored.draft.input.pizzas),
    };
    this.save({ ...stored, happened: [...without(stored, step, pizza), announced] });
  }

  /** The dough is so warm after kneading, °C: its times move, and its mixer is known better. Null takes that back. */
  measure(celsius: number | null): void {
    const stored = this.needed('There is no plan for this dough: make one first.');
    const earlier = stored.measured;
    if (celsius === null && earlier) takeBack(this.store, earlier);
    const measured = celsius === null ? null : measure(this.store, stored.draft.input, celsius, earlier);
    this.save({ ...stored, measured });
  }

  undo(step: StepName | 'serve', pizza: number | undefined): void {
    if (this.current) this.save({ ...this.current, happened: without(this.current, step, pizza) });
  }

  /** A cook begins. @returns the plan's pizzas when it follows the plan, else none */
  began(cook: RunningCook, rehearse: boolean): PlanPizza[] {
    this.last = null;
    const stored = this.stored();
    this.rehearsal = cook.rehearsal && rehearse && stored ? cook.id : null;
    if (!stored) return [];
    if (this.rehearsal !== null) this.save({ ...stored, ids: [] });
    if (cook.rehearsal) return rehearse ? stored.draft.run : [];
    const near = (to: string): boolean =>
      cook.startedAt > Date.parse(to) - BELONGS_WITHIN_MS.before &&
      cook.startedAt < Date.parse(to) + BELONGS_WITHIN_MS.after;
    // A fire that was lit by the plan is the plan's, however far off its serving is.
    const lit = stored.happened.find((h) => h.step === 'light-fire' && h.cook === undefined);
    if (stored.cook !== null || !(near(stored.draft.input.serveAt) || (lit && near(lit.at)))) return [];
    this.save({ ...stored, cook: cook.id, ids: [] });
    return stored.draft.run;
  }

  /** The run as the cook has it that follows the plan. */
  run(): Planned[] {
    const { draft, ids } = this.stored() ?? { draft: null, ids: [] };
    return (draft?.run ?? []).map((wish, place) => ({ id: ids[place] ?? `p${place + 1}`, wish }));
  }

  keepIds(ids: string[]): void {
    if (this.current) this.save({ ...this.current, ids });
  }

  follows(cook: RunningCook | null): boolean {
    return cook !== null && (this.rehearsal === cook.id || this.stored()?.cook === cook.id);
  }

  /** ms to be added to an instant of the cook for the plan's clock; 0 but in a rehearsal. */
  private shift(cook: RunningCook | null): number {
    if (!cook || this.rehearsal !== cook.id) return 0;
    const light = this.evening().steps.find(({ step }) => step === 'light-fire');
    return light ? Date.parse(light.at) - cook.startedAt : 0;
  }

  /** What the plan's clock shows, ms. */
  clock(wall: number, cook: RunningCook | null, t: number | null): number {
    if (!cook || t === null || !this.follows(cook)) return wall;
    return cook.startedAt + t * 1000 + this.shift(cook);
  }

  /** Ticked off, in this rehearsal or in none. */
  private tapped(): Tapped[] {
    return this.stored()?.happened.filter((h) => h.cook === undefined || h.cook === this.rehearsal) ?? [];
  }

  /** All that has happened: ticked off here, and told by the cook. */
  happenings(cook: RunningCook | null, t: number | null): Happening[] {
    const plain = this.tapped().map(({ step, pizza, at }) => ({
      step,
      at,
      ...(pizza !== undefined && { pizza }),
    }));
    if (!cook || t === null || !this.follows(cook)) return plain;
    const from = cook.startedAt + this.shift(cook);
    const fromCook = cookHappenings(cook, t).map(({ t, ...rest }) => ({
      ...rest,
      at: iso(Math.round(from + t * 1000)),
    }));
    const isOfCook = (a: Happening) => fromCook.some((b) => isSame(b, a.step, a.pizza) && b.at <= a.at);
    // What the cook tells of its pizzas and its stone is stronger than a tick that says it comes later.
    return [...plain.filter((h) => !isOfCook(h)), ...fromCook.filter((b) => isNew(plain, b))];
  }

  /** How the plan stands; null without one. `readyAt`: s of the cook, when the stone is foreseen to be ready. */
  live(wall: number, cook: RunningCook | null, t: number | null, readyAt: number | null): LivePlan | null {
    if (!this.stored()) return null;
    const now = this.clock(wall, cook, t);
    const happened = this.happenings(cook, t);
    const names = namesOf(
      cook && this.follows(cook) ? inRunOrder(cook.pizzas) : (this.stored()?.draft.run ?? []),
    );
    const stone = readyAt === null || t === null ? null : Math.max(0, Math.round((readyAt - t) / 30) * 30);
    const key = JSON.stringify([happened, names, stone, this.own()]);
    if (this.last?.key === key && Math.abs(now - this.last.at) < REPLAN_EVERY_MS) return this.last.plan;
    const foreseen = stone === null || !this.follows(cook) ? null : now + stone * 1000;
    const plan = this.standing(happened, now, cook, foreseen, names);
    this.last = { key, at: now, plan };
    return plan;
  }

  private standing(
    happened: Happening[],
    now: number,
    cook: RunningCook | null,
    readyAt: number | null,
    names: readonly string[],
  ): LivePlan {
    const wish = this.evening();
    const planned = replan(wish, happened, iso(now), readyAt);
    const serveAt = happened.find(({ step }) => step === 'serve')?.at ?? wish.settings.serveAt;
    const fits: Fit = this.follows(cook) ? { fits: true } : this.fit(planned.evening, serveAt, happened, now);
    const { evening, moved, gives } = fits.fits ? planned : asPlanned(wish, planned);
    const start = cook && this.follows(cook) ? cook.startedAt + this.shift(cook) : null;
    const steps = stepsNow(evening, moved, start, names);
    const open = fits.fits ? steps.find(({ done }) => !done) : undefined;
    const soon = cook && !this.follows(cook) ? NEXT_WITHIN_MS.besideAnother : NEXT_WITHIN_MS.usual;
    const next = open && Date.parse(open.at) - now < soon ? open.id : null;
    return {
      at: iso(now),
      serveAt: evening.serveAt,
      lastOffAt: evening.lastOffAt,
      steps,
      gives: fits.fits ? [...ballsGive(this.tapped(), evening, now), ...gives] : gives,
      next,
      ...fits,
    };
  }

  /** What would make the guests wait for long does not fit, and is not moved unasked. */
  private fit(standing: Evening, serveAt: string, happened: readonly Happening[], now: number): Fit {
    const late = Date.parse(standing.serveAt) - Date.parse(serveAt);
    const isBegun = happened.some(({ step }) => step !== 'serve');
    if (late < LATE_AFTER_MS[isBegun ? 'begun' : 'unbegun']) return { fits: true };
    if (this.current?.cook === null && isMixed(happened, now)) return mixedLate(serveAt, late);
    return fit.parse(this.workedOut({ ...this.evening().settings, serveAt }, iso(now)));
  }
}
