import type { Advice, VentLevel } from '../../../shared/engine.ts';
import type { Seen } from './seen.ts';
import { domeWanted } from './dome-trajectory.ts';
import { freshResponse, teachResponse, type Response } from './response.ts';

/**
 * What to do with the fire: a cascade of two loops, as heating controls use it. The outer one says where the dome has to
 * be so that the stone comes to the middle of its band and stays (dome-trajectory.ts); the inner one moves the vents until the
 * dome goes there. It knows neither how a vent answers nor whether anybody moved it: the vents are moved by a share of
 * themselves, the dome is watched for minutes, and moved again. Plain JSON; times s, temperatures °C.
 */
export type Adviser = {
  /** Opening that was last advised, 0 to 1, and when it last changed. */
  share: number;
  movedAt: number;
  response: Response;
  lastAdvice: Advice | null;
};

export const freshAdviser = (): Adviser => ({
  share: 1,
  movedAt: -1e6,
  response: freshResponse(),
  lastAdvice: null,
});

/*
 * The figures below, and those of dome-trajectory.ts and response.ts, are the best of some twenty sets on the half to tune on of the
 * varied bank, 40 warm-ups (npm run bench:steer): harder and later cuts trade overshoots for evenings that never get ready.
 */
/** Said again after so long, whatever it is. */
const REPEAT_AFTER_SECONDS = 50;
/** A person takes up to two minutes to do it, the dome some more to answer: not changed sooner. */
const HOLD_SECONDS = 150;
/** The dome is judged where it will be in so many minutes: it follows the vents with about such a delay. */
const LOOKAHEAD_MINUTES = 4;
/** A dome so far off, °C, moves the vents by a factor of e; within DEADBAND_CELSIUS they stay. */
const E_FOLD_CELSIUS = 70;
const DEADBAND_CELSIUS = 8;
/** Never moved by more than these factors at once, nor shut wholly: a fire without air dies. Near the band never wide. */
const MAX_OPENING_FACTOR = 1.6;
const MAX_CLOSING_FACTOR = 10;
const MAX_SHARE_NEAR_BAND = 0.35;
const MIN_SHARE = 0.02;
const NEAR_BAND_CELSIUS = 50;
/** Vents are moved by a share of themselves, in logarithms, that is worth the walk. */
const MIN_MOVE_LN = 0.12;
/** A dome that rises faster than this, °C/min, needs no more air said: it was judged where it goes (our choice). */
const RISING_PER_MINUTE = 2;
/** A stone below this, °C, is still filling up from its faces; a lesson each so many seconds. */
const COLD_BELOW_CELSIUS = 60;
const TEACH_EVERY_SECONDS = 10;
/** First cut from wide open: about what holds a dome. Own estimate. */
const HOLDING_SHARE = 0.3;

const levelOf = (share: number): VentLevel =>
  share < 0.05 ? 'shut' : share < 0.3 ? 'low' : share < 0.7 ? 'half' : 'open';

/** The opening that brings the dome from where it goes to where it should be. */
function moved(share: number, off: number, isNear: boolean): number {
  if (Math.abs(off) < DEADBAND_CELSIUS) return share;
  const factor = Math.exp(-off / E_FOLD_CELSIUS);
  if (off < 0) {
    const most = isNear ? Math.max(share, MAX_SHARE_NEAR_BAND) : 1;
    return Math.min(most, share * Math.min(factor, isNear ? MAX_OPENING_FACTOR : 3));
  }
  const to = share * Math.max(factor, 1 / MAX_CLOSING_FACTOR);
  return Math.max(Math.min(share, MIN_SHARE), share > 0.6 && off < 60 ? Math.max(HOLDING_SHARE, to) : to);
}

/** What is so beside the temperatures: lid up or a pizza on the stone; the most that the grill's dome may have, °C. */
type Circumstances = { isDisturbed: boolean; domeLimit: number | null };

/** What to do now; null where it was said lately and stands, or nothing is known of the dome. */
export function advise(
  adviser: Adviser,
  facts: Seen,
  { isDisturbed, domeLimit }: Circumstances,
): Advice | null {
  const { t, dome } = facts;
  if (!dome?.isFresh) return null;
  const stone = facts.stone?.isFresh ? facts.stone : null;
  // under a lid that is up and a pizza neither curve tells what the vents do
  if (
    stone &&
    !isDisturbed &&
    stone.celsius > COLD_BELOW_CELSIUS &&
    t - adviser.response.at >= TEACH_EVERY_SECONDS
  )
    teachResponse(adviser.response, t, dome.celsius - stone.celsius, stone.perMinute);
  const { domeTo, coasts } = domeWanted(adviser.response, { ...facts, stone }, domeLimit);
  const before = adviser.share;
  if (!isDisturbed && t - adviser.movedAt >= HOLD_SECONDS) {
    const ahead = dome.celsius + LOOKAHEAD_MINUTES * Math.max(-15, Math.min(15, dome.perMinute));
    const share = moved(
      adviser.share,
      ahead - domeTo,
      (stone ?? dome).celsius > facts.low - NEAR_BAND_CELSIUS,
    );
    if (Math.abs(Math.log(share / adviser.share)) > MIN_MOVE_LN) {
      adviser.share = share;
      adviser.movedAt = t;
    }
  }
  const { lastAdvice } = adviser;
  const share = Math.round(100 * adviser.share) / 100;
  if (lastAdvice?.share === share && t - lastAdvice.t < REPEAT_AFTER_SECONDS) return null;
  const now = Math.round(dome.celsius);
  let why = `Dome at ${now} °C, to bring to ${domeTo} °C.`;
  if (isDisturbed)
    why = `An open lid or a pizza has cooled the dome to ${now} °C for now: leave the vents as advised.`;
  else if (coasts !== null && coasts > facts.high)
    why = `The stone goes on to about ${Math.round(coasts)} °C even with the vents shut.`;
  else if (
    adviser.share <= before &&
    dome.celsius < domeTo - DEADBAND_CELSIUS &&
    dome.perMinute > RISING_PER_MINUTE
  )
    why = `Dome at ${now} °C, rising to ${domeTo} °C with the vents as advised.`;
  adviser.lastAdvice = { t, type: 'advice', vents: levelOf(share), share, domeTo, why };
  return adviser.lastAdvice;
}
