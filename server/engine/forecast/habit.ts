import type { Band, GrillKnown, GrillPrior } from '../../../shared/engine.ts';
import { LID_FLAG, PIZZA_FLAG, STEP_SECONDS, type History } from '../heat/heat-history.ts';

/**
 * How a person holds the dome of a grill while its stone comes to the band: its level over the middle of the band, °C, by how
 * far the stone still is below it, from the cooks before this one. Each cook counts as one value at each of `KNOTS_CELSIUS`.
 */
type Level = { mean: number; count: number; squares: number };
export type Habit = readonly Level[];

/** The stone less the low end of its band, °C. */
const KNOTS_CELSIUS = [-120, -85, -50, -25, -5] as const;
const COLUMN_NAMES = ['mean', 'count', 'squares'] as const;
type Name = (typeof COLUMN_NAMES)[number];
const nameOf = (knot: number, name: Name): string => `dome${knot}.${name}`;

/** What was seen so far; empty where nothing was. */
export function habitOf(prior: GrillPrior | null): Habit {
  const number = (knot: number, name: Name): number => prior?.values[nameOf(knot, name)] ?? 0;
  return KNOTS_CELSIUS.map((_, k) => ({
    mean: number(k, 'mean'),
    count: number(k, 'count'),
    squares: number(k, 'squares'),
  }));
}

/** @returns the values that a prior keeps of it */
export function habitValues(habit: Habit): Record<string, number> {
  const values: Record<string, number> = {};
  habit.forEach((level, k) => COLUMN_NAMES.forEach((name) => (values[nameOf(k, name)] = level[name])));
  return values;
}

const nearestKnot = (below: number): number =>
  KNOTS_CELSIUS.reduce(
    (best, knot, k) => (Math.abs(knot - below) < Math.abs((KNOTS_CELSIUS[best] ?? 0) - below) ? k : best),
    0,
  );

/** Farther below than the first knot, or higher above the band's low end than this, °C, the dome says nothing of a knot. */
const EARLIEST_CELSIUS = -140;
const LATEST_CELSIUS = 10;

/** With one more cook; its looks tell where the stone was, up to the first pizza. Mean and squares after Welford. */
export function habitWith(
  habit: Habit,
  { dome, hands, looks }: History,
  [low, high]: readonly [number, number],
): Habit {
  const sums = KNOTS_CELSIUS.map(() => ({ sum: 0, count: 0 }));
  for (const { slot, celsius } of looks) {
    const [air, h] = [dome[slot], hands[slot] ?? 0];
    if ((h & PIZZA_FLAG) !== 0) break;
    const below = celsius - low;
    const knot = sums[nearestKnot(below)];
    if (
      air === undefined ||
      (h & LID_FLAG) !== 0 ||
      below < EARLIEST_CELSIUS ||
      below > LATEST_CELSIUS ||
      !knot
    )
      continue;
    knot.sum += air - (low + high) / 2;
    knot.count += 1;
  }
  return habit.map((level, k) => {
    const { sum, count } = sums[k] ?? { sum: 0, count: 0 };
    if (count === 0) return level;
    const off = sum / count - level.mean;
    const mean = level.mean + off / (level.count + 1);
    return { mean, count: level.count + 1, squares: level.squares + off * (sum / count - mean) };
  });
}

/**
 * How far the levels of a person's evenings lie `apart` before any was seen, °C, which weighs as much as one; how far the
 * dome `strays` from where its present course leads, °C, and how fast it `follows`, s. Over 8 grills of the half to tune on,
 * four cooks each, when the stone enters its band is off by 129 s on the mean under a patient hand and by 198 s with people
 * of all kinds (206 and 263 s alone, and then fewer answers); with 35 instead of 20 °C apart by 17 and 10 s more, with
 * 300 instead of 120 s by 14 and 41 more.
 */
const HABIT_SPREAD = { apart: 20, strays: 40, follows: 120 };

const spreadOf = ({ count, squares }: Level): number =>
  Math.sqrt(((HABIT_SPREAD.apart ** 2 + squares) / (1 + count)) * (1 + 1 / count));

/** Of which distances below the band the habit is shown to its person, °C: on the way, and just before. */
const SHOWN_CELSIUS: readonly number[] = [-50, -5];

/** What is known of how the dome is held, for its person: °C, with how far evenings lie apart. */
export const holdsOf = (habit: Habit, [low, high]: Band): GrillKnown['holds'] =>
  habit.flatMap((level, k) => {
    const knot = KNOTS_CELSIUS[k] ?? 0;
    if (level.count === 0 || !SHOWN_CELSIUS.includes(knot)) return [];
    const dome = { value: (low + high) / 2 + level.mean, error: spreadOf(level) };
    return [{ below: -knot, dome, cooks: level.count }];
  });

/** Level of the dome with a stone so far below its band, °C over its middle, and one standard deviation; null where unknown. */
function levelAt(habit: Habit, below: number): { celsius: number; spread: number } | null {
  const known = habit.flatMap((level, k) => (level.count > 0 ? [{ at: KNOTS_CELSIUS[k] ?? 0, level }] : []));
  const next = known.findIndex(({ at }) => at >= below);
  const to = next < 0 ? known.at(-1) : known[next];
  const from = next > 0 ? known[next - 1] : to;
  if (!from || !to) return null;
  const share = to.at > from.at ? (below - from.at) / (to.at - from.at) : 1;
  return {
    celsius: from.level.mean + share * (to.level.mean - from.level.mean),
    spread: spreadOf(from.level) + share * (spreadOf(to.level) - spreadOf(from.level)),
  };
}

/**
 * The dome to come as this person holds it: from where it is and how it moves, critically damped, to what its own course and
 * the habit have it come to, each weighed by how sure it is.
 *   dv/dt = (D* − D)/τ² − 2v/τ,  dD/dt = v
 * @param drifts where the dome comes to by itself, °C
 * @returns a function of the stone, °C, to be called each `STEP_SECONDS` seconds; null where the habit is not known
 */
export function domeByHabit(
  habit: Habit,
  now: { dome: number; perSecond: number; drifts: number },
  [low, high]: readonly [number, number],
): ((stone: number) => number) | null {
  if (habit.every(({ count }) => count === 0)) return null;
  let [dome, v] = [now.dome, now.perSecond];
  return (stone) => {
    const level = levelAt(habit, stone - low);
    const held = level ? (low + high) / 2 + level.celsius : now.drifts;
    const weight = level ? HABIT_SPREAD.strays ** 2 / (HABIT_SPREAD.strays ** 2 + level.spread ** 2) : 0;
    const heads = weight * held + (1 - weight) * now.drifts;
    const was = dome;
    v += STEP_SECONDS * ((heads - dome) / HABIT_SPREAD.follows ** 2 - (2 * v) / HABIT_SPREAD.follows);
    dome += STEP_SECONDS * v;
    return was;
  };
}
