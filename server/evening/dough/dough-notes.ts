import type { DoughStage } from '../../../shared/evening/dough.ts';
import type { Caution, PlanSettings } from '../../../shared/evening/evening.ts';
import { differenceText, temperatureText } from '../../../shared/units.ts';
import { figure } from '../arithmetic.ts';
import {
  ballGramsOf,
  MIN_BALL_CELSIUS,
  batchesOf,
  bulkOf,
  FRICTION_BY_MIXER,
  kitchenOf,
  massOf,
  type Fermentation,
  type Hours,
} from './kitchen.ts';
import { hoursTo } from './physics/lump.ts';
import { prefermentOf } from './recipe/preferment.ts';
import { YEAST_DOUBT } from './physics/yeast.ts';

export type Settled = Omit<Fermentation, 'notes'> & {
  settings: PlanSettings;
  asked: Hours;
  /** Instant yeast that does as much, fraction of the flour. */
  instant: number;
  /** Of a dough that was measured: what it was to be, its times as meant, and the place that sets it right. */
  measured: { plannedC: number; meant: Hours; placeC: number } | null;
};

const PRACTICE = 'common practice, no source';
const BALANCE = 'heat balance';
const MODEL = 'our yeast model, to ±30 %';

/** Hours as people say them: "40 min", "1 h 15 min", "2.5 h", "16 h". */
export function spoken(hours: number): string {
  const minutes = Math.round(hours * 60);
  if (minutes < 60) return `${minutes} min`;
  const [whole, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (hours >= 10) return `${Math.round(hours)} h`;
  return rest === 0 || rest === 30 ? `${minutes / 60} h` : `${whole} h ${rest} min`;
}

const note = (id: string, text: string, source: string): Caution => ({ id, text, source });
type Notes = Generator<Caution, void>;
const degrees = (settings: PlanSettings, celsius: number): string => temperatureText(celsius, settings.unit);

/** A dough, or water, so far off, °C, is worth a word. */
const NOTED_DIFFERENCE_CELSIUS = 0.5;

function* waterNotes({ settings, doughC, waterC, iceGrams, measured }: Settled): Notes {
  if (measured) return;
  const { tapC } = kitchenOf(settings);
  if (iceGrams > 0) {
    const text = `Weigh ${iceGrams} g of the water as ice, crushed or in small cubes, and the rest from the tap (${degrees(settings, tapC)}).`;
    yield note('ice', text, BALANCE);
  } else if (waterC < tapC - NOTED_DIFFERENCE_CELSIUS) {
    const text = `The tap is a little too warm: cool the water to ${degrees(settings, waterC)}.`;
    yield note('cool-water', text, BALANCE);
  }
  if (waterC > 40)
    yield note(
      'warm-water',
      `Water above ${degrees(settings, 40)}: stir it into the flour first and the yeast after, which is harmed from about ${degrees(settings, 49)}.`,
      'lay sources, agreeing',
    );
  const off = doughC - settings.doughC;
  if (Math.abs(off) < NOTED_DIFFERENCE_CELSIUS) return;
  const by = differenceText(Math.abs(off), settings.unit);
  const cure =
    off > 0
      ? 'cool the flour in the fridge first, or knead less; yeast and times are for the warmer dough'
      : 'warm the flour first; yeast and times are for the cooler dough';
  yield note(
    off > 0 ? 'dough-warmer' : 'dough-cooler',
    `The dough comes out at ${degrees(settings, doughC)}, ${by} ${off > 0 ? 'warmer' : 'cooler'} than wanted: ${cure}.`,
    BALANCE,
  );
}

/** Ripeness in words, from the least for each. */
const RIPE_WORDS: readonly (readonly [number, string])[] = [
  [2.2, 'far too ripe: it will be slack, tear and brown unevenly'],
  [1.4, 'riper than meant: soft, a little sour, handle it gently'],
  [0.7, 'ripe'],
  [0.45, 'young: it springs back and stays pale and dense'],
  [0, 'hardly risen'],
];
const ripenessWords = (ripeness: number): string =>
  RIPE_WORDS.find(([least]) => ripeness >= least)?.[1] ?? 'hardly risen';

const MINUTES_WORTH_HOURS = 0.1;

function* timeNotes({ settings, asked, measured, ripeness, instant, ...settled }: Settled): Notes {
  const hours = measured?.meant ?? settled.hours;
  yield note(
    'yeast-doubt',
    `Yeast and time go together to about ±${YEAST_DOUBT * 100} %: look at the dough, not only at the clock. The mass is ready to be balled once it has grown by a half to the double; balls are ready when they are puffy and a dent comes back slowly.`,
    PRACTICE,
  );
  const [was, is] = [bulkOf(asked), bulkOf(hours)];
  if (was - settings.bulkHours > MINUTES_WORTH_HOURS)
    yield note(
      'cold-in-mass',
      `The ${spoken(asked.cold)} in the fridge are part of the time in the mass, which is ${spoken(was)} then.`,
      'how the times are counted',
    );
  const inFridge =
    hours.coldAs === 'mass' && hours.cold > 0 ? `, ${spoken(hours.cold)} of it in the fridge` : '';
  const byYeast = settings.yeastFraction !== null || Boolean(settings.preferment);
  const why =
    settings.yeastFraction === null && settings.preferment
      ? `this much ${settings.preferment.kind}`
      : 'this much yeast';
  if (Math.abs(is - was) > MINUTES_WORTH_HOURS) {
    const text = byYeast
      ? `With ${why} the dough wants ${is * 60 < 1 ? 'no time' : spoken(is)} in the mass${inFridge}.`
      : `${spoken(was)} in the mass suits no sensible amount of yeast here: it is ${spoken(is)}.`;
    yield note(is < was ? 'bulk-shorter' : 'bulk-longer', text, MODEL);
  }
  if (asked.cold - hours.cold > MINUTES_WORTH_HOURS && hours.coldAs === 'balls')
    yield note(
      'cold-shorter',
      hours.cold * 60 < 1 ? 'Leave the fridge out.' : `In the fridge no longer than ${spoken(hours.cold)}.`,
      MODEL,
    );
  if (asked.balls - hours.balls > MINUTES_WORTH_HOURS)
    yield note('balls-shorter', `As balls no longer than ${spoken(hours.balls)}.`, MODEL);
  if (ripeness < 0.7 || ripeness > 1.4) {
    const cure =
      ripeness > 1
        ? 'give it a cooler place, less time or less yeast'
        : 'give it a warmer place, more time or more yeast';
    yield note('ripeness', `At the first launch the dough is ${ripenessWords(ripeness)}; ${cure}.`, MODEL);
  }
  if (instant > 0.01) yield note('much-yeast', 'More than 1 % instant yeast tastes of it.', PRACTICE);
}

/** A dough above this, °C, for longer than this, h, turns slack and sour; in the room for a day is long. */
const [WARM, WARM_HOURS, LONG_ROOM] = [29, 1.5, 24];

/** Hours of a stage in which the dough is above `WARM`: it comes to the warmth of its place as a lump does. */
function hoursAboveWarm(
  { settings, hours }: Settled,
  { stage, hours: lasts, startC, endC }: DoughStage,
): number {
  const ambientC = stage === 'cold' ? kitchenOf(settings).fridgeC : settings.roomC;
  const isBall = stage === 'balls' || (stage === 'cold' && hours.coldAs === 'balls');
  const kilograms = isBall ? ballGramsOf(settings) / 1000 : massOf(settings);
  if (startC > WARM) return Math.min(lasts, hoursTo(WARM, startC, ambientC, kilograms));
  return endC > WARM ? lasts - Math.min(lasts, hoursTo(WARM, startC, ambientC, kilograms)) : 0;
}

function* placeNotes(settled: Settled): Notes {
  const { settings, stages, hours } = settled;
  const warm = stages.reduce((sum, stage) => sum + hoursAboveWarm(settled, stage), 0);
  if (warm > WARM_HOURS)
    yield note(
      'warm-place',
      `${spoken(warm)} above ${degrees(settings, WARM)} makes a dough slack and sour: find a cooler place (a cellar, a cool box with a cold pack), give it less time, or use the fridge.`,
      PRACTICE,
    );
  else if (hours.cold === 0 && bulkOf(hours) > LONG_ROOM)
    yield note(
      'long-warm',
      `${spoken(bulkOf(hours))} in the room is long: a fridge holds it safer.`,
      PRACTICE,
    );
}

/** A warm spot (an oven with only its light on) is taken for so warm, °C. */
const WARM_SPOT_CELSIUS = 26;

function* ballNotes({ settings, stages, hours, ballsC }: Settled): Notes {
  if (ballsC >= MIN_BALL_CELSIUS) return;
  const kilograms = ballGramsOf(settings) / 1000;
  const coldBalls = `At the first launch the balls would be at ${degrees(settings, ballsC)}, too cold to stretch (at least ${degrees(settings, MIN_BALL_CELSIUS)})`;
  const from = stages.at(-1)?.startC ?? ballsC;
  const out = hoursTo(MIN_BALL_CELSIUS, from, settings.roomC, kilograms);
  const isOut = hours.coldAs === 'balls' && hours.cold > 0;
  // Balls that came warmer than that have cooled: the time helps only those that warm up.
  const text =
    from < MIN_BALL_CELSIUS && out <= 8
      ? `${coldBalls}: ${isOut ? 'take them out' : 'make them'} ${spoken(Math.ceil(out * 4) / 4)} before it.`
      : `${coldBalls}: for the last ${spoken(Math.ceil(hoursTo(MIN_BALL_CELSIUS, ballsC, WARM_SPOT_CELSIUS, kilograms) * 4) / 4)} put them somewhere at about ${degrees(settings, WARM_SPOT_CELSIUS)}, such as an oven with only its light on.`;
  yield note('cold-balls', text, 'heat balance of a ball; the limit is common practice');
}

/** Less than this, °C, is how well a thermometer measures. */
const MEASUREMENT_ERROR_CELSIUS = 0.5;

function* measuredNotes({ settings, hours, doughC, measured, ripeness }: Settled): Notes {
  if (!measured) return;
  const { plannedC, meant, placeC } = measured;
  const off = doughC - plannedC;
  const by = differenceText(Math.abs(off), settings.unit, 1);
  const text =
    Math.abs(off) < MEASUREMENT_ERROR_CELSIUS
      ? `The dough is at ${degrees(settings, doughC)}, as meant`
      : `The dough is at ${degrees(settings, doughC)}, ${by} ${off > 0 ? 'warmer' : 'cooler'} than meant`;
  const moved = Math.round((hours.first - meant.first) * 60);
  const next = hours.cold > 0 && hours.coldAs === 'mass' ? 'into the fridge' : 'ball it';
  const move = moved === 0 ? '' : `: ${next} ${Math.abs(moved)} min ${moved < 0 ? 'sooner' : 'later'}`;
  const place =
    Math.abs(placeC - settings.roomC) < 1
      ? ''
      : `${move ? ', and keep' : ': keep'} the balls in a place of about ${degrees(settings, placeC)}`;
  const left =
    place && Math.abs(ripeness - 1) >= 0.15
      ? `, or launch a little ${ripeness > 1 ? 'sooner' : 'later'}`
      : '';
  yield note('measured', `${text}${move}${place}${left}.`, 'measured; times by our yeast model');
}

function* kitchenNotes({ settings }: Settled): Notes {
  const { frictionC, learntFriction, mixer } = settings;
  const batches = batchesOf(settings);
  if (batches > 1)
    yield note(
      'batches',
      `${figure(massOf(settings))} kg of dough is more than a home mixer kneads at once: knead it in ${batches} batches, each mixed as the one before is done, then put them together.`,
      PRACTICE,
    );
  if (learntFriction && frictionC === undefined) {
    const { doughs } = learntFriction;
    yield note(
      'friction-learnt',
      `Kneading ${FRICTION_BY_MIXER[mixer].label} warms your dough by ${differenceText(learntFriction.frictionC / 3, settings.unit, 1)}, learnt from ${doughs} ${doughs === 1 ? 'dough' : 'doughs'} that you measured.`,
      'measured',
    );
  }
  if (settings.altitudeM >= 500)
    yield note(
      'altitude',
      `At ${Math.round(settings.altitudeM)} m gas takes more room: the dough gets less yeast, or less time where the yeast is given.`,
      'standard atmosphere, ISO 2533',
    );
  const own = prefermentOf(settings);
  if (own && own.flourShare < own.asked - 0.005)
    yield note(
      'preferment-less',
      `There is water for ${Math.round(own.flourShare * 100)} % of the flour in the ${own.kind}, not ${Math.round(own.asked * 100)} %.`,
      'arithmetic',
    );
}

/** All that is to be said of a dough, in the order of its evening. */
export const doughNotes = (settled: Settled): Caution[] => [
  ...measuredNotes(settled),
  ...waterNotes(settled),
  ...timeNotes(settled),
  ...kitchenNotes(settled),
  ...placeNotes(settled),
  ...ballNotes(settled),
];
