/**
 * When the announced time may move. The cook acts on it, so it is moved seldom, by little while nothing was taught, and
 * not back and forth. All in seconds after the launch.
 */
export type Announced = {
  /** The person's own time. */
  own: number;
  /** As announced at the launch, and as it stands. */
  first: number;
  now: number;
  /** All moves since, added up without their sign. */
  moved: number;
  /** When it was last moved. */
  movedAt: number;
  /** Whether enough verdicts stand behind it. */
  isTaught: boolean;
};

/** Share of the own time to either side: while nothing was taught, and then. */
const UNTAUGHT_RANGE = [0.8, 1.2] as const;
const TAUGHT_RANGE = [0.5, 2] as const;
/** The first minute, and the last half minute before the call. */
export const QUIET_SECONDS = { first: 60, last: 30 } as const;
/** A move is worth it from this share of the own time on, and from this, s; and not oftener than this, s. */
const SMALLEST_MOVE = { share: 0.03, seconds: 5 };
const ANNOUNCE_EVERY_SECONDS = 20;
/** All moves together against what they come to in the end. */
const MAX_PATH_TO_NET_RATIO = 1.5;

/** The nearest whole second that is no further from the own time than it may be. */
export function within(seconds: number, own: number, isTaught: boolean): number {
  const [low, high] = isTaught ? TAUGHT_RANGE : UNTAUGHT_RANGE;
  return Math.max(Math.ceil(own * low), Math.min(Math.floor(own * high), Math.round(seconds)));
}

/** A move back leaves the moves so far and their sum within the rule: |moved| + r ≤ 1.5·(|net| − r). */
function held({ first, now, moved }: Announced, to: number): number {
  const net = now - first;
  if (net === 0 || (to - now) * net > 0) return to;
  const most = Math.max(0, (MAX_PATH_TO_NET_RATIO * Math.abs(net) - moved) / (1 + MAX_PATH_TO_NET_RATIO));
  return now + Math.sign(to - now) * Math.min(Math.abs(to - now), Math.floor(most));
}

/** The new time, whole seconds; null where the old one stands. */
export function nextTime(announced: Announced, since: number, wanted: number): number | null {
  const { own, now, movedAt, isTaught } = announced;
  if (
    since <= QUIET_SECONDS.first ||
    since - movedAt < ANNOUNCE_EVERY_SECONDS ||
    now - since <= QUIET_SECONDS.last
  )
    return null;
  // No sooner than half a minute from here either, or the move would fall into the last half minute before the call.
  const soonest = Math.ceil(since + QUIET_SECONDS.last + 1);
  const aim = Math.max(within(wanted, own, isTaught), soonest);
  const to = Math.min(7200, Math.max(30, held(announced, aim)));
  return Math.abs(to - now) < Math.max(SMALLEST_MOVE.seconds, SMALLEST_MOVE.share * own) ? null : to;
}
