import { isMistake } from '../../../shared/cook/bakes.ts';
import type { Unit } from '../../../shared/units.ts';
import { DEFAULT_TARGETS } from '../../../shared/engine.ts';
import type { StoneSetup } from '../../../shared/evening/evening.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { medianOf } from '../../../shared/statistics/median.ts';
import type { CookFigures } from '../../evening/after/figures.ts';
import type { Season } from '../../evening/after/season-trend.ts';
import { firstReady, ventsCallOf, waitsOf } from '../../evening/after/cook-times.ts';
import { BODY_C } from '../../evening/plan/fire-lead.ts';
import { burnt } from '../../evening/plan/charcoal.ts';
import { settingAdvice } from '../../evening/stone/stone-setting.ts';
import { createBreath } from '../../store/breath.ts';
import type { EngineRecord, Store, StoredCook, StoredEvent } from '../../store/store.ts';
import { curvesOf } from './cook-curves.ts';
import { storedPizzas } from './stored-pizzas.ts';
import { reviewPizza, stoneBand } from './pizza-review.ts';

/** What is worked out of a stored cook when it is over. */
type Whole = {
  cook: StoredCook;
  events: StoredEvent[];
  marks: EngineRecord[];
  /** In the order of their launches. */
  pizzas: Pizza[];
};

const wholeOf = (store: Store, cook: StoredCook): Whole => {
  const events = store.events(cook.id).filter(({ undone }) => !undone);
  return {
    cook,
    events,
    marks: store.records(cook.id),
    pizzas: storedPizzas(store, cook, events)
      .filter((p) => p.launchedAt !== null && !isMistake(p))
      .sort((a, b) => (a.launchedAt ?? 0) - (b.launchedAt ?? 0)),
  };
};

const firstEvent = (events: readonly StoredEvent[], name: string): number | null =>
  events.find(({ event }) => event.event === name)?.t ?? null;

/** "charcoal 1.8 kg" or "900 g" in what was noted with fuel, summed; null where nobody noted any. Grams. */
function charcoalOf(events: readonly StoredEvent[]): number | null {
  const grams = events.flatMap(({ event }) => {
    if (event.event !== 'fuel' && event.event !== 'fire-lit') return [];
    const match = /(\d+(?:[.,]\d+)?)\s*(kg|g)\b/i.exec(event.note ?? '');
    if (!match) return [];
    return [Number(match[1]?.replace(',', '.')) * (match[2]?.toLowerCase() === 'kg' ? 1000 : 1)];
  });
  return grams.length === 0 ? null : grams.reduce((sum, each) => sum + each, 0);
}

function lidOpenSeconds(events: readonly StoredEvent[]): number {
  let sum = 0;
  let from: number | null = null;
  for (const { t, event } of events) {
    if (event.event === 'lid-open') from ??= t;
    if (event.event === 'lid-closed' && from !== null) {
      sum += t - from;
      from = null;
    }
  }
  return sum;
}

/** Seconds of the curve above `top`, each reading standing until the next, gaps over a minute left out. */
function secondsAbove(curve: readonly { t: number; celsius: number }[], top: number): number {
  return curve.reduce((sum, { t, celsius }, i) => {
    const gap = (curve[i + 1]?.t ?? t) - t;
    return celsius > top && gap <= 60 ? sum + gap : sum;
  }, 0);
}

/** The figures of a stored cook. `planned`: when the plan had the first launch, ms since the epoch. */
export async function figuresOf(
  store: Store,
  cook: StoredCook,
  planned: number | null,
  gapMm: number | null,
): Promise<CookFigures> {
  const { events, marks, pizzas } = wholeOf(store, cook);
  const { stone, dome } = await curvesOf(store, cook);
  const band = stoneBand(cook.header);
  const firstLaunchAt = pizzas.reduce<number | null>(
    (first, { launchedAt }) => (first === null ? launchedAt : Math.min(first, launchedAt ?? first)),
    null,
  );
  const early = stone.filter(({ t }) => t <= (firstLaunchAt ?? Infinity));
  const peak = early.reduce<(typeof early)[number] | null>(
    (high, each) => (high && high.celsius >= each.celsius ? high : each),
    null,
  );
  return {
    litAt: firstEvent(events, 'fire-lit'),
    readyAt: firstReady(marks),
    firstLaunchAt,
    plannedLaunchAt: planned === null ? null : (planned - cook.startedAt) / 1000,
    shutAt:
      cook.endedAt === null || cook.rehearsal
        ? (stone.at(-1)?.t ?? null)
        : (cook.endedAt - cook.startedAt) / 1000,
    peakStone: peak?.celsius ?? null,
    stone: band,
    dome: cook.header.targets.dome ?? DEFAULT_TARGETS.dome ?? null,
    gapMm,
    ventsCall: ventsCallOf(marks, events, peak?.t ?? null),
    overBeforeSeconds: secondsAbove(early, band[1]),
    lidOpenSeconds: lidOpenSeconds(events),
    charcoalGrams: charcoalOf(events),
    seenLaunches: marks.filter((mark) => mark.type === 'noticed' && mark.event === 'launch').length,
    pizzas: pizzas.map((pizza) => {
      const { name, eater, offAfter, base, top } = pizza;
      const review = reviewPizza(pizza, marks, stone, dome, band);
      return { ...review, ...waitsOf(pizza, pizzas, marks), name, eater, offAfter, base, top };
    }),
  };
}

/** What earlier fires took: see `earlierFires`. */
type EarlierFires = { fireLeads: number[]; charcoalFactors: number[] };

/**
 * What the fires of the stored cooks took, oldest first; only what a plan takes.
 * `fireLeads`: minutes from lighting to a ready stone (10 to 300). `charcoalFactors`: what was burnt as a share of what
 * is reckoned for a middling grill on a calm evening of 20 °C (0.1 to 10), where a person said how much went in.
 */
export async function earlierFires(store: Store): Promise<EarlierFires> {
  const breathe = createBreath();
  const fires: EarlierFires = { fireLeads: [], charcoalFactors: [] };
  for (const cook of realCooks(store)) {
    await breathe();
    const events = store.events(cook.id).filter(({ undone }) => !undone);
    const lit = firstEvent(events, 'fire-lit');
    const ready = lit === null ? null : firstReady(store.records(cook.id));
    if (lit === null || ready === null) continue;
    const lead = (ready - lit) / 60;
    if (lead >= 10 && lead <= 300) fires.fireLeads.push(Math.round(lead * 10) / 10);
    const grams = charcoalOf(events);
    const end = ((cook.endedAt ?? 0) - cook.startedAt) / 1000;
    if (grams === null || end <= ready) continue;
    const mildEvening = { outsideC: 20, windy: false, altitudeM: 0, bodyC: BODY_C };
    const factor = grams / burnt(mildEvening, lead, (end - ready) / 60);
    if (factor >= 0.1 && factor <= 10) fires.charcoalFactors.push(Math.round(factor * 100) / 100);
  }
  return fires;
}

/** Oldest first. */
const realCooks = (store: Store): StoredCook[] =>
  store
    .cooks()
    .filter(({ rehearsal, endedAt }) => !rehearsal && endedAt !== null)
    .reverse();

/** One row a cook for the trends. */
export async function seasons(store: Store): Promise<Season[]> {
  const breathe = createBreath();
  const found: Season[] = [];
  for (const cook of realCooks(store)) {
    found.push(await seasonOf(store, cook));
    await breathe();
  }
  return found;
}

async function seasonOf(store: Store, cook: StoredCook): Promise<Season> {
  const figures = await figuresOf(store, cook, null, null);
  const { litAt, readyAt, peakStone, stone, pizzas, charcoalGrams } = figures;
  const rated = pizzas.filter(({ base, top }) => base !== null && top !== null);
  const right = rated.filter(({ base, top }) => base === 'right' && top === 'right').length;
  return {
    label: new Date(cook.startedAt).toISOString().slice(0, 10),
    leadMinutes: litAt === null || readyAt === null ? null : (readyAt - litAt) / 60,
    recoverySeconds: medianOf(pizzas.map(({ recoverySeconds }) => recoverySeconds)),
    charcoalGrams,
    overshootC: peakStone === null ? null : Math.max(0, peakStone - stone[1]),
    rightShare: rated.length === 0 ? null : right / rated.length,
  };
}

/**
 * Advice on the stone's setting from a cook: stone and dome as they stood at its launches, in the middle. Sooner, when
 * the stone is first ready, the dome is often still on its way down from the climb.
 */
export function adviceOf({ pizzas, stone, dome }: CookFigures, setup: StoneSetup, unit: Unit): string | null {
  const stoneC = medianOf(pizzas.map(({ stoneAtLaunch }) => stoneAtLaunch));
  const domeC = medianOf(pizzas.map(({ domeAtLaunch }) => domeAtLaunch));
  if (stoneC === null || domeC === null || dome === null) return null;
  const rated = (verdict: string): number => pizzas.filter(({ base }) => base === verdict).length;
  const scorched = rated('scorched') - rated('pale');
  return settingAdvice({ stoneC, domeC, stone, dome, setup, scorched }, unit);
}
