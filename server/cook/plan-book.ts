import type { Evening, Happening, StepName } from '../../shared/evening.ts';
import { Fault } from '../../shared/fault.ts';
import { planDraft, type Guest, type LivePlan, type PlanDraft, type PlanPizza } from '../../shared/plan.ts';
import { workOut } from '../evening/plan/plan.ts';
import { replan } from '../evening/plan/replan.ts';
import type { Store } from '../store/store.ts';
import type { RunningCook } from './running.ts';

const KEY = 'plan';
const GUESTS_KEY = 'guests';
const MINUTE = 60_000;
/** A cook that starts within this time of serving, or of its lit fire, belongs to the plan, ms before and after. */
const BELONGS = { before: 18 * 60 * MINUTE, after: 8 * 60 * MINUTE };
/** Replanning is asked for with each change of a reading; once in so many ms is enough. */
const KEEPS = 5000;

type Told = Happening & { /** The rehearsal in which it was tapped. */ cook?: number };
type Kept = { draft: PlanDraft; happened: Told[]; /** The real cook that follows it. */ cook: number | null };

const iso = (ms: number): string => new Date(ms).toISOString();

/** One pizza an entry, in the order of the run, the guests in turn where nobody said otherwise. */
export function fullRun({ input, guests, run }: PlanDraft): PlanPizza[] {
  return Array.from({ length: input.pizzas }, (_, i) => {
    const guest = guests.length > 0 ? guests[i % guests.length] : undefined;
    const taste = guest?.taste ?? { base: 0, crust: 0, wetness: 0 };
    return run[i] ?? { name: '', eater: guest?.name ?? '', taste };
  });
}

/**
 * The plan that is kept, what has happened since, and how it stands now. A real cook that starts near its time follows
 * it; a rehearsal only when it is asked to, and then the plan's clock is shifted so that its fire is lit as it starts.
 */
export class PlanBook {
  private readonly store: Store;
  /** Held here, since the first screen asks for it many times a second. */
  private current: Kept | null;
  /** The rehearsal that is played by the plan. */
  private rehearsal: number | null = null;
  private worked: { draft: PlanDraft; evening: Evening } | null = null;
  private last: { key: string; at: number; plan: LivePlan } | null = null;

  constructor(store: Store) {
    this.store = store;
    this.current = (store.setting(KEY) as Kept | null | undefined) ?? null; // written by `keep` alone
  }

  kept(): Kept | null {
    return this.current;
  }

  private keep(kept: Kept | null): void {
    this.last = null;
    this.current = kept;
    this.store.putSetting(KEY, kept);
  }

  /** The evening as first worked out. @throws Fault `not-found` without a plan */
  evening(): Evening {
    const kept = this.kept();
    if (!kept) throw new Fault('not-found', 'There is no plan yet: make one first.');
    if (this.worked?.draft !== kept.draft)
      this.worked = { draft: kept.draft, evening: workOut(kept.draft.input) };
    return this.worked.evening;
  }

  /** @throws Fault `invalid` when the evening can't be worked out; the old plan then stays */
  put(draft: PlanDraft): void {
    workOut(draft.input);
    const before = this.kept();
    const full = { ...draft, run: fullRun(draft) };
    const same = before?.draft.input.serveAt === draft.input.serveAt;
    this.keep({
      draft: planDraft.parse(full),
      happened: same ? before.happened : [],
      cook: same ? before.cook : null,
    });
    if (draft.guests.length > 0) this.store.putSetting(GUESTS_KEY, draft.guests);
  }

  clear(): void {
    this.keep(null);
  }

  guests(): Guest[] {
    return (this.store.setting(GUESTS_KEY) as Guest[] | undefined) ?? []; // written by `put` alone
  }

  /** Something of the plan was done, or is expected at another time. Told twice, the later word counts. */
  happened(step: StepName | 'serve', pizza: number | undefined, at: number): void {
    const kept = this.kept();
    if (!kept) throw new Fault('not-found', 'There is no plan to tick off: make one first.');
    const one: Told = { step, at: iso(at), ...(pizza !== undefined && { pizza }), ...this.mark() };
    this.keep({ ...kept, happened: [...kept.happened.filter((h) => !isSame(h, step, pizza)), one] });
  }

  undo(step: StepName | 'serve', pizza: number | undefined): void {
    const kept = this.kept();
    if (kept) this.keep({ ...kept, happened: kept.happened.filter((h) => !isSame(h, step, pizza)) });
  }

  private mark(): { cook?: number } {
    return this.rehearsal === null ? {} : { cook: this.rehearsal };
  }

  /** A cook begins. @returns the plan's pizzas when it follows the plan, else none */
  began(cook: RunningCook, rehearse: boolean): PlanPizza[] {
    this.last = null;
    const kept = this.kept();
    this.rehearsal = cook.rehearsal && rehearse && kept ? cook.id : null;
    if (!kept) return [];
    if (cook.rehearsal) return rehearse ? kept.draft.run : [];
    const near = (to: string): boolean =>
      cook.startedAt > Date.parse(to) - BELONGS.before && cook.startedAt < Date.parse(to) + BELONGS.after;
    // A fire that was lit by the plan is the plan's, however far off its serving is.
    const lit = kept.happened.find((h) => h.step === 'light-fire' && h.cook === undefined);
    if (kept.cook !== null || !(near(kept.draft.input.serveAt) || (lit && near(lit.at)))) return [];
    this.keep({ ...kept, cook: cook.id });
    return kept.draft.run;
  }

  follows(cook: RunningCook | null): boolean {
    return cook !== null && (this.rehearsal === cook.id || this.kept()?.cook === cook.id);
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

  /** All that has happened: ticked off here, and told by the cook. `readyAt` s of the cook, when the stone is foreseen. */
  happenings(cook: RunningCook | null, readyAt: number | null): Happening[] {
    const told = (this.kept()?.happened ?? []).filter(
      (h) => h.cook === undefined || h.cook === this.rehearsal,
    );
    const plain = told.map(({ step, pizza, at }) => ({ step, at, ...(pizza !== undefined && { pizza }) }));
    if (!cook || !this.follows(cook)) return plain;
    const from = cook.startedAt + this.shift(cook);
    const fromCook = cookHappenings(cook, readyAt).map(({ t, ...rest }) => ({
      ...rest,
      at: iso(Math.round(from + t * 1000)),
    }));
    const untold = fromCook.filter(({ step, pizza }) => !plain.some((h) => isSame(h, step, pizza)));
    return [...plain, ...untold];
  }

  /** How the plan stands; null without one. */
  live(wall: number, cook: RunningCook | null, t: number | null, readyAt: number | null): LivePlan | null {
    if (!this.kept()) return null;
    const now = this.clock(wall, cook, t);
    const happened = this.happenings(cook, readyAt === null ? null : Math.round(readyAt / 30) * 30);
    const key = JSON.stringify(happened);
    if (this.last?.key === key && Math.abs(now - this.last.at) < KEEPS) return this.last.plan;
    const plan = this.standing(happened, now, cook);
    this.last = { key, at: now, plan };
    return plan;
  }

  private standing(happened: Happening[], now: number, cook: RunningCook | null): LivePlan {
    const { evening, moved, gives } = replan(this.evening(), happened, iso(now));
    const later = new Map(moved.map(({ id, minutes }) => [id, minutes]));
    const start = cook && this.follows(cook) ? cook.startedAt + this.shift(cook) : null;
    const steps = evening.steps.map(({ id, step, pizza, at, text, done }) => ({
      id,
      step,
      ...(pizza !== undefined && { pizza }),
      at,
      t: start === null ? null : Math.round((Date.parse(at) - start) / 1000),
      text,
      done,
      moved: Math.round(later.get(id) ?? 0),
    }));
    const next = steps.find(({ done }) => !done)?.id ?? null;
    return { at: iso(now), serveAt: evening.serveAt, steps, gives, next };
  }
}

const isSame = (one: Happening, step: string, pizza: number | undefined): boolean =>
  one.step === step && one.pizza === pizza;

type CookHappening = { step: StepName; pizza?: number; t: number };

/** What a cook tells of its plan's steps; the pizzas count in the order in which they were launched. */
function cookHappenings({ events, pizzas }: RunningCook, readyAt: number | null): CookHappening[] {
  const lit = events.find(({ event, undone }) => event.event === 'fire-lit' && !undone);
  const launched = pizzas
    .filter((p) => p.launchedAt !== null)
    .sort((a, b) => (a.launchedAt ?? 0) - (b.launchedAt ?? 0));
  const of = (step: StepName, t: number | null, i: number): CookHappening[] =>
    t === null ? [] : [{ step, pizza: i + 1, t }];
  return [
    ...(lit ? [{ step: 'light-fire' as const, t: lit.t }] : []),
    ...(launched.length === 0 && readyAt !== null ? [{ step: 'soak' as const, t: readyAt }] : []),
    ...launched.flatMap((p, i) => [
      ...of('launch', p.launchedAt, i),
      ...of('turn', p.turnedAt, i),
      ...of('off', p.offAt, i),
    ]),
  ];
}
