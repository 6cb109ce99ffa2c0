import { ballFor, USUAL_CM } from '../../../shared/evening/ball.ts';
import type { Caution, Evening, Mixer, PlanSettings } from '../../../shared/evening/evening.ts';

/**
 * Middle and range of a mixer's friction, °C as bakers count it: three times what it warms the dough, from the rule
 * T_water = 3·T_dough − T_flour − T_room − F (common practice, no source).
 */
export const FRICTION_BY_MIXER: Record<
  Mixer,
  { middle: number; range: readonly [number, number]; label: string }
> = {
  hand: { middle: 2, range: [0, 3], label: 'by hand' },
  stand: { middle: 8, range: [4, 12], label: 'in a stand mixer or spiral' },
  fast: { middle: 16, range: [12, 20], label: 'in a fast mixer or food processor' },
};

/** Tap water is taken for so much cooler than the room, °C, within these bounds (our estimate). */
const TAP_WATER_CELSIUS = { below: 5, range: [8, 25] as const };
/** Balls in the room before the first launch, h, where nothing is said. */
const BALL_HOURS = 2;
/**
 * Of the time in the mass, h in the room where nothing else is said: what is longer lies in the fridge, but not for less
 * than `MIN_COLD`, in which a kilogram and a half only begins to cool (τ = 2.7 h).
 */
const [ROOM_AT_MOST, MIN_COLD] = [6, 2];

/** Balls colder than this, °C, spring back (common practice, no source). */
export const MIN_BALL_CELSIUS = 16;

/** What was left unsaid of a kitchen, filled in. °C. */
export type Kitchen = { flourC: number; tapC: number; frictionC: number; fridgeC: number };

export function kitchenOf(settings: PlanSettings): Kitchen {
  const { roomC, flourC, tapC, frictionC, learntFriction, mixer, fridgeC } = settings;
  const [low, high] = TAP_WATER_CELSIUS.range;
  return {
    flourC: flourC ?? roomC,
    tapC: tapC ?? Math.min(high, Math.max(low, roomC - TAP_WATER_CELSIUS.below)),
    frictionC: frictionC ?? learntFriction?.frictionC ?? FRICTION_BY_MIXER[mixer].middle,
    // A fridge in a colder room is as cold as the room.
    fridgeC: Math.min(fridgeC, roomC),
  };
}

export const ballGramsOf = ({ ballGrams, diameterCm }: PlanSettings): number =>
  ballGrams ?? ballFor(diameterCm ?? USUAL_CM);

/** Dough in all, g and kg, as it lies in the bowl. */
export const gramsOf = (settings: PlanSettings): number =>
  (settings.pizzas * ballGramsOf(settings)) / (1 - settings.wasteFraction);
export const massOf = (settings: PlanSettings): number => gramsOf(settings) / 1000;

/** As much dough as home mixers, or arms, knead at once, kg (common practice, no source). */
const MAX_BATCH_KILOGRAMS = 2.5;

/** Into how many parts the dough is mixed and kneaded, one after the other; a dough that is not kneaded in one. */
export const batchesOf = (settings: PlanSettings): number =>
  settings.kneadMinutes < 1 ? 1 : Math.ceil(massOf(settings) / MAX_BATCH_KILOGRAMS);

/** Time at which the dough lies where, h: in the room before the cold, in the cold, out of it as mass, as balls. */
export type Hours = { first: number; cold: number; warm: number; balls: number; coldAs: 'mass' | 'balls' };

/** A dough from kneading to the first launch. Hours and °C; yeast as a fraction of the flour; 1 is ripe. */
export type Fermentation = Pick<
  Evening,
  | 'stages'
  | 'yeastFraction'
  | 'doughC'
  | 'waterC'
  | 'iceGrams'
  | 'ripeness'
  | 'ballsC'
  | 'bulkHours'
  | 'coldHours'
  | 'ballHours'
> & { hours: Hours; notes: Caution[] };

/** The longest that a mass taken out of the fridge waits for balling, h (common practice, no source). */
const MAX_WARM_HOURS = 2;

/** The time in the room about the cold, `room` h, split into before and after. */
export function withRoom(hours: Hours, room: number): Hours {
  const warm = hours.coldAs === 'mass' && hours.cold > 0 ? Math.min(MAX_WARM_HOURS, room / 2) : 0;
  return { ...hours, first: room - warm, warm };
}

/** The time in the fridge, h, of a mass that nothing was said of: none, or one that is worth it. */
function coldUnsaid({ bulkHours, coldAs, yeastFraction }: PlanSettings): number {
  const beyond = coldAs === 'mass' && yeastFraction === null ? bulkHours - ROOM_AT_MOST : 0;
  return beyond < MIN_COLD / 2 ? 0 : Math.max(MIN_COLD, beyond);
}

/** What is asked for, nothing of it checked yet. A mass is in its bowl no shorter than in its fridge. */
export function askedHours(settings: PlanSettings): Hours {
  const { bulkHours, coldAs, ballHours, restMinutes } = settings;
  const wanted = settings.coldHours ?? coldUnsaid(settings);
  // Hours that come to no minute are none.
  const cold = wanted * 60 < 1 ? 0 : wanted;
  const balls = ballHours ?? (restMinutes === undefined ? BALL_HOURS : restMinutes / 60);
  const room = Math.max(0, bulkHours - (coldAs === 'mass' ? cold : 0));
  return withRoom({ first: room, cold, warm: 0, balls, coldAs }, room);
}

/** Stays in the fridge, h, that a longer one is compared with, and the longest: in a day any mass is as cold as it. */
const [COLD_STEP, COLD_SETTLED] = [0.5, 24];

/**
 * The hours that the yeast may be reckoned for; those that do the most work count. They are the ones asked for with every
 * shorter stay in the fridge, since one of an hour or two costs more in the dough's warmth than it gives. Where nothing
 * was said of a fridge the room counts with its most, so that the yeast holds until the fridge is worth using.
 */
export function dosedHours(settings: PlanSettings, asked: Hours): Hours[] {
  const isUnsaid =
    settings.coldHours === undefined && asked.coldAs === 'mass' && settings.yeastFraction === null;
  const room = isUnsaid ? Math.min(settings.bulkHours, ROOM_AT_MOST) : asked.first + asked.warm;
  const beyond = isUnsaid ? settings.bulkHours - room : asked.cold;
  const cold = isUnsaid && beyond < MIN_COLD ? 0 : beyond;
  const shorter = Array.from(
    { length: Math.ceil(Math.min(cold, COLD_SETTLED) / COLD_STEP) },
    (_, i) => i * COLD_STEP,
  );
  return [...shorter, cold].map((hours) => withRoom({ ...asked, cold: hours }, room));
}

/** Hours in the mass, the cold in it where the mass goes cold. */
export const bulkOf = ({ first, cold, warm, coldAs }: Hours): number =>
  first + warm + (coldAs === 'mass' ? cold : 0);
