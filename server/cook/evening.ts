import type { Settings } from '../../shared/api.ts';
import { DEFAULT_TARGETS, type EngineView } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import type { Caution } from '../../shared/evening.ts';
import type { Now } from '../../shared/live.ts';
import type { PlanAnswer, PlanDraft, PlanPizza, StoneAnswer, SummaryAnswer } from '../../shared/plan.ts';
import { summarise } from '../evening/after/summary.ts';
import { cautionsAt, type Moment } from '../evening/cautions.ts';
import { tasteWords } from '../../shared/taste.ts';
import { bakeOf } from '../evening/plan/timeline.ts';
import { contact, equalBakeBand, equalBakeText, touchOf } from '../evening/stone/contact.ts';
import { soakSeconds } from '../evening/stone/setting.ts';
import type { Store, StoredCook } from '../store/store.ts';
import { adviceOf, figuresOf } from './after.ts';
import { BakeGuide } from './bake-guide.ts';
import { Lessons } from './lessons.ts';
import { unannounced } from './pizzas.ts';
import { PlanBook } from './plan-book.ts';
import { promptOf, proposed } from './run-order.ts';
import type { RunningCook } from './running.ts';

/** An instant of the stage: the wall's clock in ms, and the cook that is on with its time, s. */
export type Instant = { wall: number; cook: RunningCook | null; t: number | null };
export type EveningNow = Pick<Now, 'plan' | 'guides' | 'prompt' | 'cautions'>;
/** What of the evening stays with a cook that followed the plan. */
type Stays = { plannedLaunch: number | null; formula: string | null; gapMm: number };

const staysKey = (cook: number): string => `evening-${cook}`;
/** A step is of this moment when it is due within this time, ms. */
const SOON = 15 * 60_000;

/** The evening around a cook: its plan before, the run and its guidance meanwhile, what it taught after. */
export class EveningBook {
  readonly plan: PlanBook;
  readonly lessons: Lessons;
  private readonly guide: BakeGuide;
  private readonly store: Store;

  constructor(store: Store) {
    this.store = store;
    this.plan = new PlanBook(store);
    this.lessons = new Lessons(store);
    this.guide = new BakeGuide(store, this.lessons);
  }

  /** A cook begins: where it follows the plan it gets the plan's pizzas. */
  began(cook: RunningCook, settings: Settings, rehearse = false): void {
    const run = this.plan.began(cook, rehearse);
    if (!this.plan.follows(cook)) return;
    const { draft } = this.plan.kept() ?? {};
    const launch = this.plan.evening().steps.find(({ id }) => id === 'launch:1');
    this.store.putSetting(staysKey(cook.id), {
      plannedLaunch: launch && !cook.rehearsal ? Date.parse(launch.at) : null,
      formula: draft ? formulasOf(draft) : null,
      gapMm: settings.stone.gapMm,
    } satisfies Stays);
    for (const { id } of cook.pizzas) cook.removePizza(id);
    run.forEach((wish, place) => cook.putPizza(this.planned(wish, place, settings)));
  }

  private planned({ name, eater, taste }: PlanPizza, place: number, settings: Settings) {
    const { turn, off } = bakeOf(this.plan.evening().settings);
    const usual = off === 7.5 ? settings : { turnAfter: turn * 60, offAfter: off * 60 };
    const { turnAfter, offAfter } = usual;
    return {
      ...unannounced(`p${place + 1}`, place, { turnAfter, offAfter }),
      eater,
      taste,
      likes: tasteWords(taste),
      ...(name && { name }),
    };
  }

  beat(cook: RunningCook, t: number, settings: Settings, say: (event: CookEvent) => void): void {
    this.guide.beat(cook, t, cook.view(), settings.stone.material, say);
  }

  now({ wall, cook, t }: Instant, dismissed: readonly string[]): EveningNow {
    const view = cook?.view() ?? null;
    const plan = this.plan.live(wall, cook, t, view?.forecast?.readyAt ?? null);
    return {
      plan,
      guides: this.guide.live(cook, t ?? 0),
      prompt: cook && t !== null ? promptOf(cook, t) : null,
      cautions: this.cautions(plan, view, cook, dismissed),
    };
  }

  private cautions(
    plan: Now['plan'],
    view: EngineView | null,
    cook: RunningCook | null,
    dismissed: readonly string[],
  ): Caution[] {
    const dome = degreesOf(cook, view, 'dome');
    const stone = degreesOf(cook, view, 'stone');
    const rawMeat = this.plan.kept()?.draft.input.rawMeat ?? false;
    const moments: Moment[] = aboutNow(plan).map((about) => ({ about, dome, stone, rawMeat }));
    // Vents are told to be closed by these, so that the fire is short of air from then on.
    const starved = view?.alerts.some(({ alert }) => SHUTS.includes(alert)) ?? false;
    if (starved) moments.push({ about: 'lid', dome, starved });
    const found = moments.flatMap((moment) => cautionsAt(moment, dismissed));
    return [...new Map(found.map((one) => [one.id, one])).values()];
  }

  /** The plan for its page. @throws Fault `not-found` without one */
  answer({ wall, cook, t }: Instant): PlanAnswer | null {
    const kept = this.plan.kept();
    const readyAt = cook?.view().forecast?.readyAt ?? null;
    const now = this.plan.live(wall, cook, t, readyAt);
    if (!kept || !now) return null;
    const evening = this.plan.evening();
    const run = kept.draft.run.map((pizza, i) => ({ ...pizza, id: String(i) }));
    const { bakeMinutes, recoveryMinutes } = evening.settings;
    const rhythm = { readyAt: 0, bakeSeconds: bakeMinutes * 60, recoverySeconds: recoveryMinutes * 60 };
    const proposal = proposed(run, rhythm, [], DEFAULT_TARGETS.stone);
    return {
      draft: kept.draft,
      evening,
      happened: this.plan.happenings(cook, readyAt),
      now,
      proposal: proposal.map(({ id, reason }) => ({ place: Number(id), reason })),
    };
  }

  private stays(cook: number): Stays | null {
    return (this.store.setting(staysKey(cook)) as Stays | null | undefined) ?? null; // written by `began` alone
  }

  summary(cook: StoredCook, settings: Settings): SummaryAnswer {
    const stays = this.stays(cook.id);
    const figures = figuresOf(
      this.store,
      cook,
      stays?.plannedLaunch ?? null,
      stays?.gapMm ?? settings.stone.gapMm,
    );
    const setting = adviceOf(figures, settings.stone);
    return { ...summarise(figures), formula: stays?.formula ?? null, setting };
  }

  stone({ stone: setup, targets }: Settings): StoneAnswer {
    const band = targets.stone ?? DEFAULT_TARGETS.stone;
    const last = this.store.cooks().find(({ rehearsal, endedAt }) => !rehearsal && endedAt !== null);
    const [low, high] = equalBakeBand(DEFAULT_TARGETS.stone, 'cordierite', setup.material);
    return {
      setup,
      contactC: contact((band[0] + band[1]) / 2, touchOf(setup.material)),
      equalBand: [Math.round(low), Math.round(high)],
      equalText:
        setup.material === 'cordierite'
          ? ''
          : equalBakeText(DEFAULT_TARGETS.stone, 'cordierite', setup.material),
      soakMinutes: Math.round(soakSeconds(setup.material, setup.thicknessMm) / 60),
      advice: last ? adviceOf(figuresOf(this.store, last, null, null), setup) : null,
    };
  }
}

const SHUTS: readonly string[] = ['overshot', 'overshoot-ahead', 'dome-too-hot'];

const degreesOf = (
  cook: RunningCook | null,
  view: EngineView | null,
  role: 'stone' | 'dome',
): number | null => {
  const id = cook?.header.channels.find((channel) => channel.role === role)?.id;
  return (id === undefined ? null : view?.channels[id]?.celsius) ?? null;
};

const ABOUT: Partial<Record<string, Moment['about']>> = {
  'light-fire': 'light',
  'stone-on': 'stone-on',
  toppings: 'top',
  launch: 'launch',
  'shut-down': 'off',
  'ash-out': 'ash',
};

/** What the steps that are due about now are about. */
function aboutNow(plan: Now['plan']): Moment['about'][] {
  if (!plan) return [];
  const now = Date.parse(plan.at);
  return plan.steps
    .filter(({ done, at }) => !done && Date.parse(at) - now < SOON)
    .flatMap(({ step }) => ABOUT[step] ?? []);
}

/** Which formulas a cook used, in words; null with none. */
function formulasOf({ formula, sauce }: PlanDraft): string | null {
  const words = [
    formula && `dough “${formula.name}”, version ${formula.version}`,
    sauce && `sauce “${sauce.name}”, version ${sauce.version}`,
  ].filter(Boolean);
  return words.length > 0 ? words.join('; ') : null;
}
