import type { PlanSettings } from '../../../shared/evening/evening.ts';
import { within } from '../bake/announced-time.ts';
import { wantedFor } from '../bake/guide.ts';
import { ballGramsOf, MIN_BALL_CELSIUS, kitchenOf } from '../dough/kitchen.ts';
import { hoursTo } from '../dough/physics/lump.ts';
import { burnt, factorOf, FIREBOX_GRAMS } from './charcoal.ts';
import { weatherOf } from './fire-lead.ts';

/** Pizzas that have something together, by the first of them, counted from 1; when it comes, min. */
export type Lot = { pizza: number; at: number };

/** The run of pizzas on the stone, minutes against the first launch. */
export type Layout = {
  launches: number[];
  /** Pizzas before which charcoal is added. */
  refuels: { pizza: number; grams: number }[];
  /** Toppings come out of the fridge; so do balls, but those of the first lot, which rest in the room. */
  toppings: Lot[];
  balls: Lot[];
  lastOff: number;
  /** What burns, what is filled in at first, and what there has to be in all, g. */
  charcoal: { burns: number; fill: number; have: number };
};

/** Minutes (common practice, no source): stone out and in again with fresh coals caught; toppings ahead of a launch. */
export const REFUEL_MINUTES = 20;
const TOPPINGS_AHEAD_MINUTES = { first: 25, later: 10 } as const;
/** Toppings that spoil lie out for 2 h, 1 h above 32 °C (US Department of Agriculture). */
const TOPPINGS_OUT_MINUTES = { usual: 120, hot: 60, hotFrom: 32 } as const;

/** A ball may wait so much longer than the first one of its lot, in a warm room less, min (common practice, no source). */
const BALLS_WAIT_MINUTES = { usual: 150, warm: 75, warmFrom: 28 } as const;
/** Less time than this in the fridge, min, is not worth it. */
const MIN_COOLING_MINUTES = 30;
/** Where a ball takes longer than this to come round, h, the room is cool enough to wait in. */
const MAX_WARMING_HOURS = 4;

/**
 * Turn and off of a pizza, counted from 1, min after its launch, as its eater likes it; the turn is due at 210 of 450 s
 * unless said (common practice, no source).
 */
export function bakeOf(
  { bakeMinutes, turnMinutes, tastes }: PlanSettings,
  pizza: number,
): { turn: number | null; off: number } {
  const taste = tastes?.[pizza - 1];
  const own = bakeMinutes * 60;
  const off = taste ? within(wantedFor(taste, own).base, own, false) / 60 : bakeMinutes;
  const turn = ((turnMinutes ?? (bakeMinutes * 210) / 450) * off) / bakeMinutes;
  return { turn: turnMinutes === null ? null : Math.min(turn, off), off };
}

/** How long toppings may lie out here, min. */
export const outAtMost = ({ outsideC, roomC }: PlanSettings): number =>
  Math.max(outsideC ?? 20, roomC) > TOPPINGS_OUT_MINUTES.hotFrom
    ? TOPPINGS_OUT_MINUTES.hot
    : TOPPINGS_OUT_MINUTES.usual;

/** The fewest lots, as even as can be, of which none lasts longer than `atMost` min from its start to its last launch. */
function lots(launches: readonly number[], start: (first: number) => number, atMost: number): Lot[] {
  for (let count = 1; ; count++) {
    const size = Math.ceil(launches.length / count);
    const firsts = launches.flatMap((_, i) => (i % size === 0 ? [i] : []));
    const lasts = (i: number): number => (launches[Math.min(i + size, launches.length) - 1] ?? 0) - start(i);
    if (size === 1 || firsts.every((i) => lasts(i) <= atMost))
      return firsts.map((i) => ({ pizza: i + 1, at: start(i) }));
  }
}

/** Launches with the breaks in which charcoal is added, by what has burnt until then, g. */
function runOf(settings: PlanSettings, burntBy: (minutes: number) => number) {
  const launches: number[] = [];
  const fills: { pizza: number; burnt: number }[] = [];
  let at = 0;
  let filled: number = FIREBOX_GRAMS.holds;
  for (let pizza = 1; pizza <= settings.pizzas; pizza++) {
    const { off } = bakeOf(settings, pizza);
    if (pizza > 1 && burntBy(at + off) > filled - FIREBOX_GRAMS.glows) {
      fills.push({ pizza, burnt: burntBy(at) });
      filled = burntBy(at) + FIREBOX_GRAMS.holds;
      at += REFUEL_MINUTES;
    }
    launches.push(at);
    at += off + settings.recoveryMinutes;
  }
  return { launches, fills, lastOff: (launches.at(-1) ?? 0) + bakeOf(settings, settings.pizzas).off };
}

/** Balls that wait in the fridge, and when they come out; none where the room is cool, in which all may wait. */
function ballLots(settings: PlanSettings, launches: readonly number[], ballHours: number): Lot[] {
  const { roomC } = settings;
  const kilograms = ballGramsOf(settings) / 1000;
  const warming = hoursTo(MIN_BALL_CELSIUS, kitchenOf(settings).fridgeC, roomC, kilograms);
  if (warming > MAX_WARMING_HOURS) return [];
  const ahead = 60 * Math.max(ballHours, warming);
  const wait = roomC > BALLS_WAIT_MINUTES.warmFrom ? BALLS_WAIT_MINUTES.warm : BALLS_WAIT_MINUTES.usual;
  return lots(launches, (i) => launches[i] ?? 0, wait)
    .map(({ pizza, at }) => ({ pizza, at: at - ahead }))
    .filter(({ pizza, at }) => pizza > 1 && at >= MIN_COOLING_MINUTES - 60 * ballHours);
}

/** More is put in than will burn, so that it glows to the end; for the whole run and for what is left of it. */
const [SPARE, SPARE_LATER] = [1.5, 1.3];
const inHundreds = (grams: number): number => Math.ceil(grams / 100) * 100;

/** `lead` is min from lighting to the first launch, `ballHours` those of the balls in the room before it. */
export function layoutOf(settings: PlanSettings, lead: number, ballHours: number): Layout {
  const weather = weatherOf(settings);
  const factor = factorOf(settings.charcoalFactors ?? []);
  const burntBy = (minutes: number): number => factor * burnt(weather, lead, minutes);
  const { launches, fills, lastOff } = runOf(settings, burntBy);
  const burns = burntBy(lastOff);
  const refuels = fills.map(({ pizza, burnt: before }, i) => {
    const until = fills[i + 1]?.burnt ?? burns;
    return { pizza, grams: Math.max(300, inHundreds(SPARE_LATER * (until - before))) };
  });
  const fill = inHundreds(Math.min(SPARE * burns, FIREBOX_GRAMS.holds));
  const launch = (i: number): number => launches[i] ?? 0;
  const ahead = (i: number): number =>
    i === 0 ? TOPPINGS_AHEAD_MINUTES.first : TOPPINGS_AHEAD_MINUTES.later;
  return {
    launches,
    refuels,
    toppings: lots(launches, (i) => launch(i) - ahead(i), outAtMost(settings)),
    balls: ballLots(settings, launches, ballHours),
    lastOff,
    charcoal: {
      burns: Math.round(burns / 10) * 10,
      fill,
      have: Math.max(
        inHundreds(burns),
        refuels.reduce((sum, { grams }) => sum + grams, fill),
      ),
    },
  };
}
