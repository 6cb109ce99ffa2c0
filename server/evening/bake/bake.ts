import { baseSpeed, topSpeed, type Speed } from './bake-speed.ts';
import { fallAt, fallen, KNOT_SECONDS, shareOf, type Fall, type Usual } from './usual-fall.ts';

/** A temperature as it stood before the launch, °C, and how far it is to be relied on, 0 to 1. */
export type AtLaunch = { celsius: number; weight: number };

/**
 * Base or top of a pizza on the stone: plain JSON. `had` is what it had, in seconds of a bake in the middle of its band
 * with the usual fall; all else follows from how far the place is from there.
 */
export type Side = {
  /** Middle of the person's own band, °C; null where the person has none. */
  reference: number | null;
  /** Nearer to it than this, °C, it is as good as there. */
  tolerance: number;
  /**
   * While no launch of it was seen yet: so far below its band it may be once the launch has calmed down, °C, before that
   * counts; null where whatever comes is the usual.
   */
  allowance: number | null;
  launch: AtLaunch | null;
  usual: Usual | null;
  /** How far it was from the usual course when last seen, °C, and when, s after the launch. */
  seen: { deviation: number; since: number } | null;
  had: number;
  /** Seconds after the launch that are counted. */
  since: number;
  fall: Fall;
};
export type Bake = { launchedAt: number; halfInfinite: number; base: Side; top: Side };

export type Start = Pick<Side, 'reference' | 'tolerance' | 'allowance' | 'launch' | 'usual'>;

const sideOf = (start: Start): Side => ({
  ...start,
  seen: null,
  had: 0,
  since: 0,
  fall: KNOT_SECONDS.map(() => null),
});

/** @param halfInfinite s, of the plate */
export const startBake = (launchedAt: number, halfInfinite: number, base: Start, top: Start): Bake => ({
  launchedAt,
  halfInfinite,
  base: sideOf(base),
  top: sideOf(top),
});

/** Of a deviation only what is beyond the tolerance counts. */
const beyond = (deviation: number, tolerance: number): number =>
  Math.sign(deviation) * Math.max(0, Math.abs(deviation) - tolerance);

/** How much hotter than the middle of the band it was at the launch, as far as that counts, °C. */
export function launchDeviation({ reference, tolerance, launch }: Side): number {
  if (reference === null || launch === null) return 0;
  return launch.weight * beyond(launch.celsius - reference, tolerance);
}

/** A usual fall that was seen once may be chance: so much of it counts. */
const relied = ({ launches }: Usual): number => launches / (launches + 1);
/** What was seen longer ago than this, s, does not hold any more. */
const HOLDS_SECONDS = 120;

/** A lid that was up at the launch has let its heat go and got it back by then, s (our own choice). */
const LID_RECOVERED_SECONDS = 150;

/** How far it is below what may be without a usual course, °C, less than 0; 0 where it is not. */
function unallowed({ usual, seen, allowance, tolerance }: Side, since: number): number {
  if (usual !== null || seen === null || allowance === null) return 0;
  if (seen.since < LID_RECOVERED_SECONDS || since - seen.since > HOLDS_SECONDS) return 0;
  return Math.min(0, seen.deviation + tolerance + allowance);
}

/** How far it is from the usual course at `since`, °C. Without a usual one whatever comes is the usual. */
export function deviation(side: Side, since: number): number {
  const { usual, seen } = side;
  const atLaunch = launchDeviation(side);
  if (usual === null || seen === null || since - seen.since > HOLDS_SECONDS)
    return Math.min(atLaunch, unallowed(side, since) || atLaunch);
  const share = relied(usual);
  return (1 - share) * atLaunch + share * beyond(seen.deviation, side.tolerance);
}

/** What lies ahead is what launch and present agree on: the part of the deviation that both have. */
export function deviationAhead(side: Side): number {
  const [atLaunch, now] = [launchDeviation(side), deviation(side, side.since)];
  if (unallowed(side, side.since) < 0) return now;
  if (atLaunch * now <= 0) return 0;
  return Math.sign(now) * Math.min(Math.abs(atLaunch), Math.abs(now));
}

/** The speed of this side at so many °C from its usual course. */
export type SpeedOf = (celsius: number, reference: number, since: number) => Speed;
export const baseSpeedOf =
  ({ halfInfinite }: Bake): SpeedOf =>
  (celsius, reference, since) =>
    baseSpeed(celsius, reference, since, halfInfinite);
export const topSpeedOf: SpeedOf = topSpeed;

/** The usual course of a launch in the middle of the band, °C. */
const usualTemperature = ({ reference, usual }: Side, since: number): number | null =>
  reference === null || usual === null ? reference : fallen(reference, fallAt(usual, since));

export function speedAt(side: Side, off: number, since: number, speed: SpeedOf): Speed {
  const course = usualTemperature(side, since);
  return course === null || off === 0 ? { ln: 0, agrees: true } : speed(course + off, course, since);
}

/** A knot takes a reading that comes no later after it than this, s. */
const LATE_SECONDS = 12;

function withFall({ launch, fall }: Side, since: number, celsius: number): Fall {
  if (launch === null || launch.weight < 0.9) return fall;
  const at = KNOT_SECONDS.findIndex(
    (knot, i) => fall[i] === null && since >= knot && since - knot <= LATE_SECONDS,
  );
  if (at < 0) return fall;
  return fall.map((each, i) => (i === at ? Math.round(1e4 * shareOf(launch.celsius, celsius)) / 1e4 : each));
}

/** Brought up to `since`; `celsius` is what it reads then, null where nothing fresh is known. */
function stepSide(side: Side, since: number, celsius: number | null, speed: SpeedOf): Side {
  const seconds = since - side.since;
  if (seconds < 0) return side;
  const course = usualTemperature(side, since);
  const next: Side = {
    ...side,
    since,
    ...(celsius !== null && { fall: withFall(side, since, celsius) }),
    ...(celsius !== null && course !== null && { seen: { deviation: celsius - course, since } }),
  };
  const { ln } = speedAt(next, deviation(next, since), since, speed);
  return { ...next, had: side.had + seconds * Math.exp(ln) };
}

/** The bake at `t`, s of the cook, with what stone and dome read then. */
export function stepBake(bake: Bake, t: number, stone: number | null, dome: number | null): Bake {
  const since = t - bake.launchedAt;
  return {
    ...bake,
    base: stepSide(bake.base, since, stone, baseSpeedOf(bake)),
    top: stepSide(bake.top, since, dome, topSpeedOf),
  };
}
