import type { Channel } from '../estimate/channel.ts';
import { valueAt } from '../../../shared/statistics/least-squares.ts';
import { lineThrough } from '../estimate/reading-bins.ts';

/**
 * A pizza's cold base takes tens of degrees off the stone's skin within seconds; an open lid alone takes a few, slowly.
 * Taken off, with the lid shut again, the stone climbs as it did not while it baked.
 */
export type PizzaWatch = {
  /** No launch is looked for before this, s: the fall of the last one is not another. */
  armedAt: number;
  /** Learnt fall of a launch on this stone, °C, and of how many. */
  fall: number;
  launches: number;
  /** An opening of the lid while a pizza bakes, to be judged: turned, or taken off? */
  lidAt: number | null;
  assessedLid: number;
  /** Where nobody measures the stone: up to here, s, it is judged whether a lid went up unnoticed. */
  judgedTo: number;
  /** How deep the dome dips under a lid on this grill, °C; null: not known. */
  usualDip: number | null;
  /** A person said that a launch seen here was none. */
  refused: number;
};

export const freshPizzaWatch = (): PizzaWatch => ({
  armedAt: -1e6,
  fall: 45,
  launches: 0,
  lidAt: null,
  assessedLid: -1e6,
  judgedTo: -1e6,
  usualDip: null,
  refused: 0,
});

const FIT_WINDOW_SECONDS = 25;
const FIT_BEFORE_SECONDS = 50;

/** From the lid's opening to the pizza on the stone, or off it, s. */
export const LID_TO_STONE_SECONDS = 6;

/** A stone below this, °C, bakes nothing. */
const MIN_STONE_CELSIUS = 90;

/** More than this, °C, no base takes off a stone: the probe was moved. */
const MAX_FALL_CELSIUS = 130;

export type Launch = { at: number; fall: number; before: number; confidence: number };

/** A fall of the stone that only a pizza makes; null when there is none at `t`. */
export function launchAt(watch: PizzaWatch, stone: Channel, t: number): Launch | null {
  const { track, outlier } = stone.filter;
  if (!track || outlier || t < watch.armedAt) return null;
  const every = stone.filter.every ?? 0;
  const window = Math.max(FIT_WINDOW_SECONDS, 3 * every);
  const line = lineThrough(stone.bins, t - window - FIT_BEFORE_SECONDS - 3 * every, t - window);
  if (!line) return null;
  const slope = Math.max(-0.1, Math.min(0.25, line.slope));
  const expected = valueAt(line, 0) + slope * window;
  const fall = expected - track.x;
  const needed = Math.max(12 + 6 * watch.refused, 6 * Math.sqrt(stone.filter.noise), 0.3 * watch.fall);
  if (fall < needed || fall > MAX_FALL_CELSIUS || valueAt(line, 0) < MIN_STONE_CELSIUS) return null;
  const steep = steepest(stone, t - window, t);
  if (steep.perSecond > -0.6) return null;
  return { at: steep.at, fall, before: expected, confidence: Math.min(0.99, 0.6 + fall / 100) };
}

/**
 * A probe that sits in the stone shows a pizza late and slowly. A lid that was seen to go up makes up for what the fall lacks in
 * steepness: under a lid alone a stone falls while that is up, under a pizza it goes on falling. `from`, `to`: so long after the
 * opening, s; `fall`: all of it, °C; `later`: what of it came after the lid's own time `lid`, s. Of 24 launches of the half to
 * tune on (48 cooks, bench:engine) without a steep fall, 15 are found, with no false one; with 7 and 5 °C, and a climb carried
 * on, 18, with one false one.
 */
const SLOW_LAUNCH = { from: 55, to: 120, lid: 30, fall: 9, later: 5.5 };

/** A fall of the stone that goes on after the lid that was opened at `openedAt`; null where there is none at `t`. */
export function slowLaunchAt(watch: PizzaWatch, stone: Channel, openedAt: number, t: number): Launch | null {
  const { track, outlier, noise, every } = stone.filter;
  const since = t - openedAt;
  if (!track || outlier || since < SLOW_LAUNCH.from || since > SLOW_LAUNCH.to) return null;
  // A lid from before was that of the last launch, one that a person denied too.
  if (openedAt < watch.armedAt) return null;
  const wider = 3 * (every ?? 0);
  const line = lineThrough(stone.bins, openedAt - FIT_BEFORE_SECONDS - wider, openedAt);
  const after = lineThrough(
    stone.bins,
    openedAt + SLOW_LAUNCH.lid - 10 - wider,
    openedAt + SLOW_LAUNCH.lid + 5,
  );
  if (!line || valueAt(line, 0) < MIN_STONE_CELSIUS) return null;
  // A climb that flattens is no fall.
  const slope = Math.max(-0.1, Math.min(0, line.slope));
  const fallTo = (celsius: number, s: number): number => valueAt(line, 0) + slope * s - celsius;
  const fall = fallTo(track.x, since);
  const under = after ? Math.max(0, fallTo(valueAt(after, -5), SLOW_LAUNCH.lid)) : 0;
  const sigma = Math.sqrt(noise);
  const isSlow =
    fall > Math.max(SLOW_LAUNCH.fall + 6 * watch.refused, 6 * sigma) &&
    fall < MAX_FALL_CELSIUS &&
    fall - under > Math.max(SLOW_LAUNCH.later, 4 * sigma);
  if (!isSlow) return null;
  return {
    at: openedAt + LID_TO_STONE_SECONDS,
    fall,
    before: valueAt(line, 0),
    confidence: Math.min(0.95, 0.6 + fall / 100),
  };
}

/** The steepest fall between bins, °C/s, and when it began. */
function steepest({ bins }: Channel, from: number, to: number): { at: number; perSecond: number } {
  let found = { at: from, perSecond: 0 };
  for (let i = 1; i < bins.t.length; i++) {
    const before = bins.t[i - 1] ?? 0;
    const at = bins.t[i] ?? 0;
    if (at < from || before > to) continue;
    const perSecond = ((bins.celsius[i] ?? 0) - (bins.celsius[i - 1] ?? 0)) / Math.max(4, at - before);
    if (perSecond < found.perSecond) found = { at: Math.max(from, before), perSecond };
  }
  return found;
}

export function countLaunch(watch: PizzaWatch, t: number, fall: number): void {
  watch.armedAt = t + 60;
  watch.launches += 1;
  watch.fall += (fall - watch.fall) / Math.min(6, watch.launches + 1);
  watch.lidAt = null;
}

/** Seconds after the opening when the stone shows whether the pizza is gone: plainly, or as far as it ever will. */
const PLAIN_AFTER_SECONDS = 28;
const JUDGED_AFTER_SECONDS = 75;
/** Log-odds that are plain. */
const PLAIN_LOG_ODDS = 2.5;

/** `bend`: how much faster the stone climbs after than before, °C/min; `error` one standard error of it. */
export type OffAssessment = { isOff: boolean; at: number; bend: number; error: number; confidence: number };

/**
 * Assesses an opening of the lid during a bake once the stone has had time to answer: the climb afterwards
 * against the climb before, and how long the pizza has been on beside the usual times of turning and taking
 * off.
 */
export function assessOpening(
  stone: Channel,
  { launchedAt, turnAfter, offAfter }: { launchedAt: number; turnAfter: number | null; offAfter: number },
  at: number,
  t: number,
): OffAssessment | null {
  const every = stone.filter.every ?? 0;
  if (t < at + PLAIN_AFTER_SECONDS + 2 * every) return null;
  const before = lineThrough(stone.bins, at - 60 - every, at);
  const after = lineThrough(stone.bins, at + 16, t);
  const isLast = t >= at + JUDGED_AFTER_SECONDS + 2 * every;
  if (!before || !after) return isLast ? { isOff: false, at, bend: 0, error: 0, confidence: 0.5 } : null;
  const bend = 60 * (after.slope - Math.max(-0.05, before.slope));
  const error = 60 * Math.hypot(after.slopeError ?? 0, before.slopeError ?? 0);
  const baked = at - launchedAt;
  const middle = turnAfter === null ? 0.5 * offAfter : turnAfter + 0.35 * (offAfter - turnAfter);
  // Log-odds: our choice, from what the heat does (a freed stone gains some 4 °C/min or more) and people's habits.
  const odds = 0.7 * (bend - 2.5) + (2.2 * (baked - middle)) / 60;
  if (!isLast && Math.abs(odds) < PLAIN_LOG_ODDS) return null;
  const confidence = 1 / (1 + Math.exp(-Math.abs(odds)));
  return { isOff: odds > 0, at: at + 7, bend, error, confidence };
}
