import { isDeepStrictEqual } from 'node:util';
import type { PlanInput } from '../../../shared/evening/evening.ts';
import { settings as settingsSchema, type Settings } from '../../../shared/api/api.ts';
import { DEFAULT_TARGETS, type GrillPrior } from '../../../shared/engine.ts';
import type { CookEvent } from '../../../shared/event.ts';
import type { SauceFormula } from '../../../shared/evening/formula.ts';
import type { Now } from '../../../shared/api/live.ts';
import type {
  PlanAnswer,
  PlanDraft,
  PlanPizza,
  StoneAnswer,
  SummaryAnswer,
} from '../../../shared/evening/plan.ts';
import { summarise } from '../../evening/after/summary.ts';
import { tasteWords } from '../../../shared/evening/taste.ts';
import { clash } from '../../evening/run/diet.ts';
import { sauceOf, shoppingOf } from '../../evening/plan/shopping.ts';
import { contact, touchOf } from '../../evening/stone/contact-temperature.ts';
import { startingBand, startingText } from '../../evening/stone/other-material.ts';
import { soakMinutes } from '../../evening/stone/stone-setting.ts';
import type { Store, StoredCook } from '../../store/store.ts';
import { adviceOf, figuresOf } from '../history/cook-figures.ts';
import { BakeGuide } from '../bake/bake-guide.ts';
import { CautionService } from './caution-service.ts';
import { VerdictHistory } from '../bake/verdict-history.ts';
import { isWaiting, unannounced } from '../../../shared/cook/run.ts';
import { allFormulas } from './formulas.ts';
import { supposed } from './noticed-launch.ts';
import { PlanService, type Own } from './plan-service.ts';
import { plannedRun, withRun } from './planned-order.ts';
import { runChanges } from './run-changes.ts';
import { inOrder, promptOf, withReasons } from './run-order.ts';
import type { RunningCook } from '../live/running.ts';

/** An instant of the session: the wall clock in ms, and the cook that is on with its time, s. */
export type Instant = { wall: number; cook: RunningCook | null; t: number | null };
export type EveningNow = Pick<Now, 'plan' | 'guides' | 'prompt' | 'cautions' | 'lidHazard' | 'isOver'>;
/** What of the evening stays with a cook that followed the plan. */
type Stays = { plannedLaunch: number | null; formula: string | null; gapMm: number };

const staysKey = (cook: number): string => `evening-${cook}`;

/** The evening around a cook: its plan before, the run and its guidance meanwhile, what it taught after. */
export class EveningService {
  readonly plan: PlanService;
  readonly verdicts: VerdictHistory;
  readonly cautions: CautionService;
  private readonly guide: BakeGuide;
  private readonly store: Store;

  private readonly prior: () => GrillPrior | null;

  /** @param prior what cooks taught of the grill that is used */
  constructor(store: Store, prior: () => GrillPrior | null) {
    this.store = store;
    this.prior = prior;
    this.plan = new PlanService(store, () => ownOf(store));
    this.verdicts = new VerdictHistory(store);
    this.cautions = new CautionService(store);
    this.guide = new BakeGuide(store, this.verdicts);
  }

  /** A cook begins: where it follows the plan it gets the plan's pizzas. */
  began(cook: RunningCook, settings: Settings, rehearse = false): void {
    this.cautions.began(cook);
    const run = this.plan.began(cook, rehearse);
    if (!this.plan.follows(cook)) return;
    const { draft } = this.plan.stored() ?? {};
    const launch = this.plan.evening().steps.find(({ id }) => id === 'launch:1');
    this.store.putSetting(staysKey(cook.id), {
      plannedLaunch: launch && !cook.rehearsal ? Date.parse(launch.at) : null,
      formula: draft ? formulasOf(draft) : null,
      gapMm: settings.stone.gapMm,
    } satisfies Stays);
    cook.replacePizzas(run.map((wish, place) => this.planned(wish, place, settings)));
  }

  /** Works the plan out again by the fires that are known by now, until its own is lit. */
  learn(fires: Pick<PlanInput, 'fireLeads' | 'charcoalFactors'>): void {
    const stored = this.plan.stored();
    if (!stored || stored.cook !== null || stored.happened.some(({ step }) => step === 'light-fire')) return;
    const { draft } = stored;
    const known = { fireLeads: draft.input.fireLeads, charcoalFactors: draft.input.charcoalFactors ?? [] };
    if (isDeepStrictEqual(known, { charcoalFactors: [], ...fires })) return;
    this.plan.put({ ...draft, input: { ...draft.input, ...fires } });
  }

  /** Makes or changes the plan; the cook that follows it gets its pizzas that are not launched yet as they are now. */
  put(
    draft: PlanDraft,
    cook: RunningCook | null,
    settings: Settings,
    record: (event: CookEvent) => void,
  ): void {
    const before = this.plan.follows(cook) ? this.plan.run() : null;
    this.plan.put(withRun(draft, ownOf(this.store), this.prior()));
    if (!cook || !before || !this.plan.follows(cook)) return;
    const { run, changed, gone, order } = runChanges(before, this.plan.stored()?.draft.run ?? []);
    const waiting = (id: string | null) => cook.pizzas.find((p) => p.id === id && isWaiting(p));
    for (const id of gone) if (waiting(id)) record({ event: 'remove-pizza', pizza: id });
    for (const each of changed) {
      const there = waiting(each.id);
      if (each.id !== null && !there) continue;
      const place = there?.place ?? Math.max(-1, ...cook.pizzas.map((p) => p.place)) + 1;
      each.id ??= cook.freePizzaId();
      const { name, eater, likes, taste } = this.planned(each.wish, place, settings);
      cook.putPizza({
        ...(there ?? unannounced(each.id, place, settings)),
        id: each.id,
        name,
        eater,
        likes,
        taste,
      });
    }
    if (order) inOrder(cook, order);
    this.plan.keepIds(run.map(({ id }) => id ?? ''));
  }

  private planned(
    { name, eater, taste, diet, toppings }: PlanPizza,
    place: number,
    { turnAfter, offAfter }: Settings,
  ) {
    return {
      ...unannounced(`p${place + 1}`, place, { turnAfter, offAfter }),
      eater,
      taste,
      likes: [tasteWords(taste), diet === 'all' ? '' : diet, toppings]
        .filter(Boolean)
        .join('; ')
        .slice(0, 200),
      ...(name && { name }),
    };
  }

  tick(cook: RunningCook, t: number, settings: Settings, record: (event: CookEvent) => void): void {
    this.cautions.tick(cook, t, settings.stone);
    const launch = supposed(cook, t);
    if (launch) record(launch);
    this.guide.tick(cook, t, cook.view(), settings, record);
  }

  happened(cook: RunningCook, t: number, settings: Settings, record: (event: CookEvent) => void): void {
    this.guide.happened(cook, t, settings, record);
  }

  now({ wall, cook, t }: Instant, { stone, unit }: Settings): EveningNow {
    const view = cook?.view() ?? null;
    const plan = this.plan.live(wall, cook, t, view?.forecast?.readyAt ?? null);
    const prompt = cook && t !== null ? promptOf(cook, t) : null;
    const rawMeat = this.plan.stored()?.draft.input.rawMeat ?? false;
    return {
      plan,
      guides: this.guide.live(cook, t ?? 0),
      prompt,
      ...this.cautions.now({ wall, cook, t, plan, prompt, rawMeat, stone, unit: unit ?? 'C' }),
    };
  }

  /** The plan for its page. @throws Fault `not-found` without one */
  answer({ wall, cook, t }: Instant): PlanAnswer | null {
    const stored = this.plan.stored();
    const readyAt = cook?.view().forecast?.readyAt ?? null;
    const now = this.plan.live(wall, cook, t, readyAt);
    if (!stored || !now) return null;
    const evening = this.plan.evening();
    const sauce = sauceOf(this.sauceFormula(stored.draft), evening.settings);
    const inSauce = sauce.map(({ name }) => name);
    const { draft } = stored;
    const band = evening.settings.stoneBand ?? DEFAULT_TARGETS.stone;
    const best = plannedRun(draft, ownOf(this.store), this.prior());
    const proposal = withReasons(best, band, evening.settings.unit);
    return {
      draft: stored.draft,
      evening,
      happened: this.plan.happenings(cook, t),
      now,
      proposal: proposal.map(({ id, reason }) => ({ place: Number(id), reason })),
      clashes: stored.draft.run.map(({ diet, name, toppings }) => clash(diet, [name, toppings, ...inSauce])),
      sauce,
      shopping: shoppingOf(evening, stored.draft, sauce),
    };
  }

  private sauceFormula({ sauce }: PlanDraft): SauceFormula | null {
    const found = allFormulas(this.store).find(
      ({ id, version }) => id === sauce?.id && version === sauce.version,
    );
    return found?.kind === 'sauce' ? found : null;
  }

  private stays(cook: number): Stays | null {
    return (this.store.setting(staysKey(cook)) as Stays | null | undefined) ?? null; // written by `began` alone
  }

  async summary(cook: StoredCook, settings: Settings): Promise<SummaryAnswer> {
    const stays = this.stays(cook.id);
    const figures = await figuresOf(
      this.store,
      cook,
      stays?.plannedLaunch ?? null,
      stays?.gapMm ?? settings.stone.gapMm,
    );
    const setting = adviceOf(figures, settings.stone, settings.unit ?? 'C');
    return { ...summarise(figures, settings.unit ?? 'C'), formula: stays?.formula ?? null, setting };
  }

  async stone({ stone: setup, targets, unit }: Settings): Promise<StoneAnswer> {
    const band = targets.stone ?? DEFAULT_TARGETS.stone;
    const last = this.store.cooks().find(({ rehearsal, endedAt }) => !rehearsal && endedAt !== null);
    return {
      setup,
      contactC: contact((band[0] + band[1]) / 2, touchOf(setup.material)),
      equalBand: [...startingBand(DEFAULT_TARGETS.stone, setup)],
      equalText: startingText(DEFAULT_TARGETS.stone, setup, unit ?? 'C'),
      soakMinutes: soakMinutes(setup),
      advice: last ? adviceOf(await figuresOf(this.store, last, null, null), setup, unit ?? 'C') : null,
    };
  }
}

/** The person's own times, bands and unit, and the grill's own fire, as they are now. */
function ownOf(store: Store): Own {
  const { unit, targets, turnAfter, offAfter, stone } = settingsSchema.parse(store.setting('settings') ?? {});
  return {
    stone,
    stoneBand: [...targets.stone],
    ...(targets.dome && { domeBand: [...targets.dome] }),
    turnMinutes: turnAfter === null ? null : turnAfter / 60,
    bakeMinutes: offAfter / 60,
    ...(unit && { unit }),
  };
}

/** Which formulas a cook used, in words; null with none. */
function formulasOf({ formula, sauce }: PlanDraft): string | null {
  const words = [
    formula && `dough “${formula.name}”, version ${formula.version}`,
    sauce && `sauce “${sauce.name}”, version ${sauce.version}`,
  ].filter(Boolean);
  return words.length > 0 ? words.join('; ') : null;
}
