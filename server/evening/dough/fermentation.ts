import type { DoughStage } from '../../../shared/evening/dough.ts';
import type { PlanSettings } from '../../../shared/evening/evening.ts';
import { solve } from '../arithmetic.ts';
import { mix, type Mixing } from './physics/mixing-heat.ts';
import {
  askedHours,
  ballGramsOf,
  bulkOf,
  dosedHours,
  gramsOf,
  kitchenOf,
  massOf,
  withRoom,
  type Fermentation,
  type Hours,
} from './kitchen.ts';
import { follow, type Stay } from './physics/lump.ts';
import { moveBulk, placeFor } from './measured-dough.ts';
import { doughNotes } from './dough-notes.ts';
import { prefermentOf } from './recipe/preferment.ts';
import { convertYeast, fractionFor, INSTANT_RANGE, ripenessOf, workFor } from './physics/yeast.ts';

type Lie = { stage: DoughStage['stage'] } & Stay;

/** Where the dough lies, in time order; the balls in the room or in a place of `ballsIn` °C. */
export function lies(
  settings: PlanSettings,
  { first, cold, warm, balls, coldAs }: Hours,
  ballsIn = settings.roomC,
): Lie[] {
  const { fridgeC } = kitchenOf(settings);
  const whole = { kilograms: Math.max(0.05, massOf(settings)) };
  const ball = { kilograms: ballGramsOf(settings) / 1000 };
  const room = { ambientC: settings.roomC };
  const fridge = { ambientC: fridgeC, ...(coldAs === 'balls' ? ball : whole) };
  const all: Lie[] = [
    { stage: 'bulk', hours: first, ...room, ...whole },
    { stage: 'cold', hours: cold, ...fridge },
    { stage: 'bulk', hours: warm, ...room, ...whole },
    { stage: 'balls', hours: balls, ambientC: ballsIn, ...ball },
  ];
  return all.filter(({ hours }) => hours > 0);
}

/** Less ice than this, g, is cold water from the fridge. */
const MIN_ICE_GRAMS = 15;
/** Most time in the mass, h, and the least in the room where there is no cold. */
const [MAX_BULK, MIN_ROOM, MIN_BALLS] = [96, 0.5, 0.5];
/** Times in steps of 5 min, as people keep them. */
const STEPS_PER_HOUR = 12;
const inSteps = (hours: number): number => Math.round(hours * STEPS_PER_HOUR) / STEPS_PER_HOUR;

/** Hours that do the work `want`: the room first, then less cold, then less time as balls. */
function hoursFor(hours: Hours, want: number, work: (hours: Hours) => number): Hours {
  const inMass = hours.coldAs === 'mass' ? hours.cold : 0;
  const least = inMass > 0 ? 0 : MIN_ROOM;
  const most = Math.max(least, MAX_BULK - inMass);
  const room = solve((at) => work(withRoom(hours, at)), want, [least, most]);
  let now = withRoom(hours, Math.max(least, inSteps(room)));
  const cut = (part: 'cold' | 'balls', floor: number): void => {
    if (now[part] <= floor || work(now) <= want * 1.02) return;
    const found = solve((at) => work({ ...now, [part]: at }), want, [floor, now[part]]);
    now = { ...now, [part]: Math.max(floor, inSteps(found)) };
  };
  cut('cold', 0);
  cut('balls', MIN_BALLS);
  return now;
}

/** What goes into the bowl, for the balance of its heat. */
export function mixingOf(settings: PlanSettings): Mixing {
  const { hydration, roomC } = settings;
  const own = prefermentOf(settings);
  const preferment = own && { flour: own.flourShare, water: own.waterShare, celsius: own.goesInC };
  return { hydration, roomC, ...kitchenOf(settings), ...(preferment && { preferment }) };
}

/** Instant yeast, fractions of the flour: what is weighed, what it does with the preferment's, and if the times hold. */
function yeastOf(settings: PlanSettings, work: number) {
  const own = prefermentOf(settings);
  const { strength, yeast } = own ?? { strength: 0, yeast: 0 };
  const as = (added: number, timesHold: boolean) => ({
    weighed: added + yeast,
    does: Math.max(added + strength, INSTANT_RANGE[0] / 5),
    timesHold,
  });
  if (settings.yeastFraction !== null)
    return as(convertYeast(settings.yeastFraction, settings.yeast, 'instant'), false);
  if (own?.kind === 'sourdough') return as(0, false);
  const [low, high] = INSTANT_RANGE;
  const wanted = fractionFor(Math.max(work, 0.01), settings.altitudeM);
  const does = Math.max(strength, Math.min(high, Math.max(low, wanted)));
  return as(does - strength, does === wanted);
}

/**
 * The whole dough: temperatures from one heat balance, yeast from the times, or the times from the yeast where that is
 * given or comes to the end of what can be weighed or eaten. Any kitchen gets an answer; `notes` say what to do about
 * it. Warmer or longer never asks for more yeast. A dough that was measured keeps its yeast and its launch, and moves
 * its times.
 */
export function ferment(settings: PlanSettings): Fermentation {
  const { altitudeM } = settings;
  const mixed = mix(mixingOf(settings), settings.doughC);
  const asked = askedHours(settings);
  const workFrom =
    (startC: number) =>
    (hours: Hours, ballsIn = settings.roomC): number =>
      follow(lies(settings, hours, ballsIn), startC).work;
  const planned = workFrom(mixed.doughC);
  const dosed = dosedHours(settings, asked).map((hours) => planned(hours));
  const { weighed, does, timesHold } = yeastOf(settings, Math.max(...dosed));
  const want = workFor(does, altitudeM);
  const meant = timesHold ? asked : hoursFor(asked, want, planned);
  const startC = settings.measuredC ?? mixed.doughC;
  const goal = planned(meant);
  // Before a fridge all the work counts, which takes the rest of the time; before balling that of the mass.
  const inMass = (from: number, first: number): number =>
    meant.cold > 0
      ? workFrom(from)({ ...meant, first, cold: meant.cold + meant.first - first })
      : workFrom(from)({ ...meant, first, balls: 0 });
  const hours =
    settings.measuredC === undefined
      ? meant
      : moveBulk(meant, inMass(mixed.doughC, meant.first), (first) => inMass(startC, first));
  const ice = Math.round(mixed.ice * flourGramsOf(settings, weighed));
  const all = lies(settings, hours);
  const { work: done, temperatures } = follow(all, startC);
  const result = {
    stages: all.map(({ stage, hours: lasts }, i) => ({
      stage,
      hours: lasts,
      startC: temperatures[i] ?? startC,
      endC: temperatures[i + 1] ?? startC,
    })),
    yeastFraction: convertYeast(weighed, 'instant', settings.yeast),
    doughC: startC,
    waterC: Math.round(mixed.waterC * 10) / 10,
    iceGrams: ice < MIN_ICE_GRAMS ? 0 : ice,
    ripeness: ripenessOf(does, done, altitudeM),
    ballsC: temperatures.at(-1) ?? startC,
    bulkHours: bulkOf(hours),
    coldHours: hours.cold,
    ballHours: hours.balls,
    hours,
  };
  const measured = settings.measuredC !== undefined && {
    plannedC: mixed.doughC,
    meant,
    placeC: placeFor(settings.roomC, goal, (ballsIn) => workFrom(startC)(hours, ballsIn)),
  };
  return {
    ...result,
    notes: doughNotes({ settings, asked, instant: weighed, measured: measured || null, ...result }),
  };
}

function flourGramsOf(settings: PlanSettings, yeast: number): number {
  const { hydration, saltFraction, oilFraction, sugarFraction } = settings;
  return gramsOf(settings) / (1 + hydration + saltFraction + yeast + oilFraction + sugarFraction);
}
