import { isMistake } from '../../../shared/cook/bakes.ts';
import { ALERT_CALLS } from '../../../shared/alert/calls.ts';
import type { EngineOutput, EngineView } from '../../../shared/engine.ts';
import type { StepName, StoneSetup } from '../../../shared/evening/evening.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Unit } from '../../../shared/units.ts';
import { isCautionId } from '../../evening/caution-list.ts';
import { hazards } from '../../evening/hazards/hazards.ts';
import { LID_UPSETS_SECONDS, lidHazard } from '../../evening/hazards/lid-hazard.ts';
import { isOver } from '../../evening/hazards/baking-over.ts';
import type { CalmRate, CookSituation, Situation } from '../../evening/hazards/situation.ts';
import {
  SHUT_BEFORE,
  UNKNOWN_VENTS,
  foldVents,
  type VentState,
  type VentSign,
} from '../../evening/hazards/vent-state.ts';
import type { Store, StoredCook } from '../../store/store.ts';
import { isOnStone, isWaiting } from '../../../shared/cook/run.ts';
import type { RunningCook } from '../live/running.ts';

/** Acknowledged while no cook runs: until the next real one begins. */
const SEEN_KEY = 'cautions-seen';
const HEATED_KEY = 'stones-heated';
/** A stone that was so hot, °C, has had its first heat. */
const HEATED_ABOVE_CELSIUS = 200;
/** A step of the plan is of this moment from so long before it to so long after, ms. */
const DUE_MS = { before: 15 * 60_000, after: 60 * 60_000 };

type CautionInputs = {
  wall: number;
  cook: RunningCook | null;
  t: number | null;
  plan: Now['plan'];
  prompt: Now['prompt'];
  rawMeat: boolean;
  stone: StoneSetup;
  unit: Unit;
};

/** The cautions of the moment, and which of them were acknowledged: in a cook for that cook alone. */
export class CautionService {
  private readonly store: Store;
  private last: Now['cautions'] = [];
  private vents: { key: string; state: VentState } = { key: '', state: UNKNOWN_VENTS };
  private calm: (CalmRate & { cook: RunningCook }) | null = null;
  private before: { cook: number; state: VentState } | null = null;

  constructor(store: Store) {
    this.store = store;
  }

  now(inputs: CautionInputs): Pick<Now, 'cautions' | 'lidHazard' | 'isOver'> {
    const situation = this.situation(inputs);
    const seen = this.seen(inputs.cook);
    return {
      cautions: this.asBefore(hazards(situation, inputs.unit).filter(({ id }) => !seen.has(id))),
      lidHazard: situation.cook && lidHazard(situation.cook),
      isOver: isOver(situation),
    };
  }

  /** The same list where it says the same, so that the live line need not look into it. */
  private asBefore(cautions: Now['cautions']): Now['cautions'] {
    const isSame = (caution: Now['cautions'][number], i: number): boolean =>
      caution.id === this.last[i]?.id &&
      caution.head === this.last[i].head &&
      caution.text === this.last[i].text;
    if (cautions.length !== this.last.length || !cautions.every(isSame)) this.last = cautions;
    return this.last;
  }

  /** Those of a cook are events of it: a rehearsal acknowledges nothing for the real one. */
  private seen(cook: RunningCook | null): ReadonlySet<string> {
    if (!cook) return new Set(this.seenBefore());
    return new Set(
      cook.events.flatMap(({ event, undone }) =>
        event.event === 'caution-seen' && !undone ? [event.caution] : [],
      ),
    );
  }

  private seenBefore(): string[] {
    return (this.store.setting(SEEN_KEY) as string[] | null | undefined) ?? []; // written below alone
  }

  /** Acknowledges a caution while no cook runs. */
  acknowledge(id: string): void {
    if (isCautionId(id)) this.store.putSetting(SEEN_KEY, [...new Set([...this.seenBefore(), id])]);
  }

  restore(): void {
    this.store.putSetting(SEEN_KEY, []);
  }

  began(cook: RunningCook): void {
    if (!cook.rehearsal) this.restore();
  }

  /** Keeps how the dome goes, and which stones have been hot; to be called while a cook goes on. */
  tick(cook: RunningCook, t: number, stone: StoneSetup): void {
    const view = cook.view();
    const perMinute = estimateOf(cook, view, 'dome')?.perMinute ?? null;
    if (perMinute !== null && t - lidMovedAt(cook) > LID_UPSETS_SECONDS) this.calm = { cook, t, perMinute };
    const celsius = estimateOf(cook, view, 'stone')?.celsius ?? 0;
    if (cook.rehearsal || celsius < HEATED_ABOVE_CELSIUS || !this.isNew(stone)) return;
    this.store.putSetting(HEATED_KEY, [...this.heated(), stoneKey(stone)]);
  }

  private heated(): string[] {
    return (this.store.setting(HEATED_KEY) as string[] | null | undefined) ?? []; // written above alone
  }

  private isNew(stone: StoneSetup): boolean {
    return !this.heated().includes(stoneKey(stone));
  }

  private situation({ wall, cook, t, plan, prompt, rawMeat, stone }: CautionInputs): Situation {
    const at = plan ? Date.parse(plan.at) : wall;
    const toppings = plan?.steps.find(({ step, done }) => step === 'toppings' && done);
    const ended = cook
      ? undefined
      : this.store.cooks().find(({ rehearsal, endedAt }) => !rehearsal && endedAt);
    return {
      cook: cook && t !== null ? this.cookSituation(cook, t, prompt) : null,
      steps: dueSteps(plan),
      isShutDown: plan?.steps.some(({ step, done }) => step === 'shut-down' && done) ?? false,
      rawMeat,
      stoneIsNew: this.isNew(stone),
      sinceToppings: toppings ? (at - Date.parse(toppings.at)) / 1000 : null,
      sinceEnd: ended?.endedAt ? (wall - ended.endedAt) / 1000 : null,
    };
  }

  private cookSituation(cook: RunningCook, t: number, prompt: Now['prompt']): CookSituation {
    const view = cook.view();
    const dome = estimateOf(cook, view, 'dome');
    const statedAt = (name: string): number | null =>
      cook.events.findLast(({ event, undone }) => event.event === name && !undone)?.t ?? null;
    const [fuelAt, litAt] = [statedAt('fuel'), statedAt('fire-lit')];
    const pizzas = cook.pizzas.filter((p) => !isMistake(p));
    const launchedAt = Math.max(...pizzas.map((p) => p.launchedAt ?? -Infinity));
    const offAt = Math.max(0, ...pizzas.map((p) => p.offAt ?? 0));
    return {
      t,
      state: view.state,
      stone: estimateOf(cook, view, 'stone')?.celsius ?? null,
      dome: dome?.celsius ?? null,
      domePerMinute: dome?.perMinute ?? null,
      calm: this.calm?.cook === cook ? this.calm : null,
      lidOpen:
        view.lidOpen && t - lidMovedAt(cook) < LID_OPEN_AT_MOST && !isCalledSince(view, lidMovedAt(cook)),
      alerts: view.alerts,
      vents: this.ventsOf(cook),
      sinceLit: t - (litAt ?? 0),
      isSaidLit: litAt !== null,
      launched: pizzas.filter((p) => p.launchedAt !== null).length,
      waiting: cook.pizzas.filter(isWaiting).length,
      onStone: cook.pizzas.filter(isOnStone).length,
      sinceLaunch: launchedAt > -Infinity ? t - launchedAt : null,
      sinceOff: offAt > 0 ? t - offAt : null,
      sinceFuel: fuelAt === null ? null : t - fuelAt,
      hands: prompt?.action ?? null,
    };
  }

  /** Coals of a cook that ended so short a while ago still glow behind the vents that ended it. */
  private ventsBefore({ id, startedAt, rehearsal }: RunningCook): VentState {
    if (this.before?.cook === id) return this.before.state;
    const isOnItsCoals = (cook: StoredCook): boolean =>
      cook.id !== id && !cook.rehearsal && cook.endedAt !== null && startedAt - cook.endedAt < COALS_GLOW_MS;
    const isShut = !rehearsal && this.store.cooks().some(isOnItsCoals);
    this.before = { cook: id, state: isShut ? SHUT_BEFORE : UNKNOWN_VENTS };
    return this.before.state;
  }

  private ventsOf(cook: RunningCook): VentState {
    const { id, startedAt, events, outputs } = cook;
    const key = `${id} ${startedAt} ${events.length} ${outputs.length}`;
    if (this.vents.key !== key) {
      const signs = [
        ...events.flatMap(({ t, event, undone }): VentSign[] =>
          undone ? [] : [{ t, kind: 'event', event }],
        ),
        ...outputs.flatMap(ventSign),
      ].sort((a, b) => a.t - b.t);
      this.vents = { key, state: foldVents(signs, this.ventsBefore(cook)) };
    }
    return this.vents.state;
  }
}

function ventSign(output: EngineOutput): VentSign[] {
  const { t, type } = output;
  if (type === 'alert') return [{ t, kind: 'alert', alert: output.alert, stands: true }];
  if (type === 'alert-state')
    return [{ t, kind: 'alert', alert: output.alert, stands: output.state !== 'normal' }];
  return type === 'noticed' && output.event === 'vent' ? [{ t, kind: 'noticed-vent' }] : [];
}

/** Shut in, coals stay hot enough to flare for about so long, ms (our estimate). */
const COALS_GLOW_MS = 2 * 3600_000;

/** Said to be open longer ago than this, s, a lid was shut and nobody said so (ours: launches take less than a minute). */
const LID_OPEN_AT_MOST = 180;

const LID_EVENTS: readonly string[] = ['lid-open', 'lid-closed', 'launch', 'turn', 'off'];

/** When the lid was last said or seen to move, s; -Infinity where it never was. */
const lidMovedAt = ({ events, outputs }: RunningCook): number =>
  Math.max(
    events.findLast(({ event, undone }) => !undone && LID_EVENTS.includes(event.event))?.t ?? -Infinity,
    outputs.findLast((output) => output.type === 'noticed' && LID_EVENTS.includes(output.event))?.t ??
      -Infinity,
  );

/** Whether a launch, a turn or an off was called after the lid moved at `t` s: it leads to the next lid, not to this one. */
const isCalledSince = ({ alerts }: EngineView, t: number): boolean =>
  alerts.some(
    ({ alert, raisedAt }) => raisedAt >= t && LID_EVENTS.includes(ALERT_CALLS[alert].did?.does ?? ''),
  );

const estimateOf = (
  { header }: RunningCook,
  { channels }: EngineView,
  role: 'stone' | 'dome',
): EngineView['channels'][string] | undefined =>
  channels[header.channels.find((c) => c.role === role)?.id ?? ''];

/** What the plan's steps that are due about now are. */
function dueSteps(plan: Now['plan']): StepName[] {
  if (!plan) return [];
  const now = Date.parse(plan.at);
  return plan.steps
    .filter(
      ({ done, at }) => !done && Date.parse(at) - now < DUE_MS.before && now - Date.parse(at) < DUE_MS.after,
    )
    .map(({ step }) => step);
}

const stoneKey = ({ name, material, thicknessMm }: StoneSetup): string =>
  `${material} ${thicknessMm} ${name}`;
