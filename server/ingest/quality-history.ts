import { toFahrenheit, fromFahrenheit } from '../../shared/units.ts';
import type { Role } from '../../shared/words.ts';

/**
 * What the quality rules keep of each probe of a channel: of a fixed size, plain JSON. Times in s, values in
 * °C.
 */
export type QualityHistory = {
  channel: string;
  role: Role;
  /** The last value that was believed. */
  last: Sample | null;
  /** The one before it: a small spike that was believed must not make the return a leap. */
  before: Sample | null;
  /** Values that leapt away from it and have not been believed yet: first, last, how many, and whether they differ. */
  leap: Leap | null;
  /** Values that were exactly the same: since when, how many, what the twin was then. */
  run: { value: number; since: number; count: number; twin: number | null } | null;
  /** How many readings such a run has usually: a running mean. */
  usualRun: number | null;
  /** Slow mean of the believed values. */
  level: Sample | null;
  /** Since when it has been cold beside a hot twin that does not cool, and how hot that was then. */
  coldBeside: { since: number; twin: number } | null;
  /** Since when it has been apart from another probe of its channel. */
  apartSince: number | null;
};
export type Leap = {
  from: number;
  at: Sample;
  count: number;
  isFlat: boolean;
  /** It leapt to where the other unit of temperature would put the same temperature. */
  otherUnit: 'F' | 'C' | null;
};
export type Sample = { t: number; celsius: number };

export const freshHistory = (channel: string, role: Role): QualityHistory => ({
  channel,
  role,
  last: null,
  before: null,
  leap: null,
  run: null,
  usualRun: null,
  level: null,
  coldBeside: null,
  apartSince: null,
});

/** Time constant of `level`, s: a lid opening is gone by then. */
const LEVEL_TAU_SECONDS = 60;
/** A level is of now as long as its last value is no older, s. */
export const LEVEL_LASTS_SECONDS = 180;

/** What may change from one reading to the next, °C: `base` at once and `rate` for each second. */
type RateLimit = { base: number; rate: number };
/**
 * Our choice, well beyond what was seen: a cold pizza takes 60 °C off a stone's skin in 3 s, an open lid 50 °C off the
 * dome's air in as many; fire heats neither faster than some °C a second.
 */
const RATE_LIMITS: Record<Role, { up: RateLimit; down: RateLimit }> = {
  stone: { up: { base: 20, rate: 3 }, down: { base: 30, rate: 20 } },
  dome: { up: { base: 30, rate: 10 }, down: { base: 40, rate: 15 } },
  other: { up: { base: 50, rate: 50 }, down: { base: 50, rate: 50 } },
};
/** A leap is believed once it has held for so many readings over so many seconds. */
const BELIEVED_AFTER = { count: 3, seconds: 6 };
/** Outside of these, °C, broken probes stand: near nought, at the end of their range. One number there is not believed. */
const PLAUSIBLE_LEAP_RANGE = [60, 450] as const;

/**
 * A change of unit at the thermometer: the number is that of the same temperature in the other unit, within `give` °C, where
 * nothing in a grill goes faster than `rate`, °C/s, for more than a moment. Below `from` °C the two lie too near each other.
 */
const OTHER_UNIT = { give: 4, rate: 1, from: 100 };

function otherUnit(last: Sample, { t, celsius }: Sample): Leap['otherUnit'] {
  const { give, rate, from } = OTHER_UNIT;
  const isNear = (expected: number): boolean => Math.abs(celsius - expected) <= give;
  if (Math.abs(celsius - last.celsius) <= rate * (t - last.t)) return null;
  if (last.celsius >= from && isNear(toFahrenheit(last.celsius))) return 'F';
  return celsius >= from && isNear(fromFahrenheit(last.celsius)) ? 'C' : null;
}

function isWithinRate(role: Role, from: number, to: number, seconds: number): boolean {
  const change = to - from;
  const { base, rate } = RATE_LIMITS[role][change > 0 ? 'up' : 'down'];
  return Math.abs(change) <= base + rate * Math.max(0, seconds);
}

/** Takes the value in. @returns the leap, °C, that is not believed (yet); null when the value is believed */
export function addSample(history: QualityHistory, now: Sample, twin: number | null): number | null {
  countRun(history, now, twin);
  const leapt = leapOf(history, now);
  if (leapt !== null) return leapt;
  history.leap = null;
  history.before = history.last;
  history.last = now;
  history.level = blend(history.level, now);
  return null;
}

function leapOf(history: QualityHistory, now: Sample): number | null {
  const { role, last, before, leap } = history;
  if (!last) return null;
  // Time in which it spoke and was not believed makes no leap smaller.
  const seconds = now.t - (leap?.at.t ?? last.t);
  const goesOn = leap !== null && isWithinRate(role, leap.at.celsius, now.celsius, seconds);
  const isBack =
    leap !== null && Math.abs(now.celsius - last.celsius) < Math.abs(now.celsius - leap.at.celsius);
  // The temperature goes on changing while it is told in the other unit.
  const unit = otherUnit(last, now) ?? (goesOn && !isBack ? leap.otherUnit : null);
  if (unit === null && isWithinRate(role, last.celsius, now.celsius, seconds)) return null;
  if (unit === null && before && isWithinRate(role, before.celsius, now.celsius, seconds)) return null;
  history.leap = goesOn
    ? {
        otherUnit: unit,
        from: leap.from,
        at: now,
        count: leap.count + 1,
        isFlat: leap.isFlat && leap.at.celsius === now.celsius,
      }
    : { otherUnit: unit, from: now.t, at: now, count: 1, isFlat: true };
  const { from, count, isFlat } = history.leap;
  const isDead = isFlat && (now.celsius < PLAUSIBLE_LEAP_RANGE[0] || now.celsius > PLAUSIBLE_LEAP_RANGE[1]);
  const hasHeld = count >= BELIEVED_AFTER.count && now.t - from >= BELIEVED_AFTER.seconds;
  return hasHeld && !isDead && unit === null ? null : now.celsius - last.celsius;
}

function countRun(history: QualityHistory, now: Sample, twin: number | null): void {
  const { run } = history;
  if (run && run.value === now.celsius) {
    run.count += 1;
    run.twin ??= twin;
    return;
  }
  if (run) history.usualRun = 0.95 * (history.usualRun ?? run.count) + 0.05 * run.count;
  history.run = { value: now.celsius, since: now.t, count: 1, twin };
}

/** First-order mean over irregular gaps: x += (1 − e^(−dt/τ))·(z − x). */
function blend(level: Sample | null, now: Sample): Sample {
  if (!level || now.t - level.t > LEVEL_LASTS_SECONDS) return now;
  const share = 1 - Math.exp(-(now.t - level.t) / LEVEL_TAU_SECONDS);
  return { t: now.t, celsius: level.celsius + share * (now.celsius - level.celsius) };
}
