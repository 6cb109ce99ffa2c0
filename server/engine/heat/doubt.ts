import type { Role } from '../../../shared/words.ts';
import type { Channel } from '../estimate/channel.ts';
import type { EngineState } from '../engine-state.ts';
import { STEP_SECONDS } from './heat-history.ts';
import { errorsOff } from './hypotheses.ts';
import { scaleOf, stepCount, varianceOf, type Tracker } from './tracker.ts';

/** Variance of a look by an infrared thermometer, °C²: it and the spot differ by a degree or so. */
export const LOOK_VARIANCE = 1.4;

/** The channel of a role that people look at, since nothing measures it. */
export const lookedAt = ({ channels }: EngineState, role: Role): Channel | null =>
  channels.find((channel) => channel.role === role && channel.looks.length > 0) ?? null;

/** When a person last looked, s, at what is believed; null: never. */
export const believedLookAt = (
  { tracker: { doubt } }: EngineState,
  { role, looks }: Channel,
): number | null => (doubt && role === 'stone' ? doubt.before : (looks.at(-1)?.t ?? null));

/** Variance of what all hypotheses share, the parameters, °C². */
export const sharedVariance = (tracker: Tracker): number =>
  varianceOf(tracker) - (tracker.members[0]?.P.ss ?? 0);

/**
 * A look farther off than this, °C and standard errors, was of flour, oil or the peel, or something happened that nobody
 * saw: it is asked about, and believed when a second look within so long, s, says about the same.
 */
const FAR_LOOK_CELSIUS = 35;
const FAR_LOOK_STANDARD_ERRORS = 5;
const REPEATED_WITHIN_SECONDS = 900;

/** What was read off the stone, as of the end of the last step. */
export function asOfStep({ tracker }: EngineState, t: number, celsius: number): number {
  const perSecond = (tracker.moves.at(-1) ?? 0) / STEP_SECONDS;
  const since = t - ((tracker.origin ?? t) + stepCount(tracker) * STEP_SECONDS);
  return celsius - perSecond * Math.max(0, Math.min(STEP_SECONDS, since));
}

/** Whether a look is farther from all that may be than anything that happens to a stone. */
export function isFar(
  state: EngineState,
  t: number,
  celsius: number,
  errors = FAR_LOOK_STANDARD_ERRORS,
): boolean {
  const { tracker } = state;
  const [most] = tracker.members;
  const then = asOfStep(state, t, celsius);
  const variance = sharedVariance(tracker) + LOOK_VARIANCE;
  // What it is said to be known to on the screen is what it is held against.
  const least = errors * Math.sqrt(scaleOf(tracker));
  const all = tracker.hypotheses.length > 0 ? tracker.hypotheses : most ? [most] : [];
  return all.every(
    (hypothesis) =>
      Math.abs(then - hypothesis.heat.surface) > FAR_LOOK_CELSIUS &&
      errorsOff(hypothesis, then, variance) > least,
  );
}

/** Whether only the clock says how the stone began: the dial is read, and nobody has looked at the stone yet. */
export const isStartSupposed = (state: EngineState): boolean =>
  state.tracker.origin === 0 && state.tracker.history?.looks.length === 0 && lookedAt(state, 'dome') !== null;

/** @returns whether a look is so far from all that may be that it is asked about first */
export function isDoubted(state: EngineState, t: number, celsius: number): boolean {
  const { tracker } = state;
  const { doubt } = tracker;
  const [most] = tracker.members;
  if (!most || stepCount(tracker) === 0 || isStartSupposed(state)) return false;
  const isRepeated =
    doubt !== null &&
    t - doubt.t < REPEATED_WITHIN_SECONDS &&
    Math.abs(celsius - doubt.celsius) < FAR_LOOK_CELSIUS / 2;
  if (!isFar(state, t, celsius) || isRepeated) return false;
  const before = doubt ? doubt.before : (lookedAt(state, 'stone')?.looks.at(-2)?.t ?? null);
  tracker.doubt = { t, celsius, expected: most.heat.surface, before };
  return true;
}
