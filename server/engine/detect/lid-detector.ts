import type { Channel } from '../estimate/channel.ts';
import { valueAt } from '../../../shared/statistics/least-squares.ts';
import { lineThrough } from '../estimate/reading-bins.ts';

/**
 * An open lid lets the hot air out: the dome falls tens of degrees in half a minute and comes back once the lid is
 * shut, and the stone's skin cools a little. Vents that are shut make the dome fall too, less far and for good.
 * So a fall is a suspicion at first, told once it is deep, the stone answers, or the dome comes back. Times s.
 */
export type Lid = {
  phase: 'shut' | 'suspected' | 'open';
  openedAt: number;
  /** Dome before, °C, and the lowest since and when. */
  level: number;
  lowest: number;
  lowestAt: number;
  /** The opening at `openedAt` was one, not a suspicion. */
  wasOpen: boolean;
  /** When it was shut again, or a suspicion dropped. */
  closedAt: number;
  /** Set by a person's tap: the curve does not overrule it. The tap's id, for undo. */
  isTapped: boolean;
  eventId: string | null;
  /** How far the dome falls under a lid that is opened, °C, the last such openings weighing most; null before any. */
  usualDrop: number | null;
};

const NEVER_SECONDS = -1e6;

export const freshLid = (): Lid => ({
  phase: 'shut',
  openedAt: NEVER_SECONDS,
  level: 0,
  lowest: 0,
  lowestAt: NEVER_SECONDS,
  closedAt: NEVER_SECONDS,
  wasOpen: false,
  isTapped: false,
  eventId: null,
  usualDrop: null,
});

export const isOpen = (lid: Lid): boolean => lid.phase !== 'shut';

/** How far a channel lies under the straight line of what it did before, °C, and that line's piece. */
type Dip = { drop: number; level: number; slope: number; at: number };

/** Seconds that a dip may take to show, and how long the piece before it. */
const DIP_SECONDS = 30;
const BASELINE_SECONDS = 45;

/**
 * The channel some seconds ago, carried on, against the channel now; null where too little is known.
 * A fall is carried on whole, a rise only as far as `rise`, °C/s, since it bends.
 * @param after nothing before this is of the same course
 */
function dipOf(channel: Channel, t: number, after: number, rise: number): Dip | null {
  const { track, outlier } = channel.filter;
  if (!track || outlier) return null;
  const every = channel.filter.every ?? 0;
  const window = Math.max(DIP_SECONDS, 3 * every);
  const at = t - window;
  const line = lineThrough(channel.bins, Math.max(after, at - BASELINE_SECONDS - 3 * every), at);
  if (!line) return null;
  const slope = Math.max(-0.6, Math.min(rise, line.slope));
  const level = valueAt(line, 0);
  return { drop: level + slope * window - track.x, level, slope, at };
}

/** Where the fall began: the last bin that still lay near the line. */
function fallBegan({ bins }: Channel, dip: Dip, t: number): number {
  let began = dip.at;
  for (let i = 0; i < bins.t.length; i++) {
    const at = bins.t[i] ?? 0;
    if (at < dip.at || at > t) continue;
    if (dip.level + dip.slope * (at - dip.at) - (bins.celsius[i] ?? 0) > 0.15 * dip.drop) break;
    began = at;
  }
  return began;
}

export type LidMove = {
  event: 'lid-open' | 'lid-closed' | 'vent';
  at: number;
  drop: number;
  confidence: number;
};

/** Looks at dome and stone at `t`. @returns what it noticed, or null */
export function stepLid(lid: Lid, dome: Channel, stone: Channel | null, t: number): LidMove | null {
  if (lid.phase === 'shut') suspect(lid, dome, t, Math.max(lid.lowestAt, lid.closedAt));
  if (lid.phase === 'shut') return null;
  const now = dome.filter.track?.x ?? lid.lowest;
  if (now < lid.lowest) {
    lid.lowest = now;
    lid.lowestAt = t;
  }
  if (lid.phase === 'open') return stepOpen(lid, dome, t);
  if (t - lid.openedAt > DIP_SECONDS + 5) suspect(lid, dome, t, lid.openedAt + 8);
  return assess(lid, dome, stone, t);
}

/** The least fall that is looked at, °C. */
const MIN_FALL_CELSIUS = 4.5;

/** A fall that sets in anew while another is being judged takes its place. */
function suspect(lid: Lid, dome: Channel, t: number, after: number): void {
  const dip = dipOf(dome, t, after, 0.05);
  if (!dip || dip.drop < Math.max(MIN_FALL_CELSIUS, 6 * Math.sqrt(dome.filter.noise))) return;
  const at = fallBegan(dome, dip, t);
  if (dip.drop / Math.max(5, t - at) < 0.13) return;
  open(lid, t, at, dip.level, dome.filter.track?.x ?? 0);
}

/** A lid that is opened and shut has the dome at its lowest within so long, s. */
const LOWEST_WITHIN_SECONDS = 70;
/** A fall that no vent makes, °C in so many s; and one that is none of a lid even if the dome comes back, °C. */
const DEEP_FALL_CELSIUS = 14;
const FAST_FALL_SECONDS = 25;
const SHALLOW_FALL_CELSIUS = 5;
/** A dome that has not come back after so long was not let out, s. */
const GIVE_UP_SECONDS = 150;

function assess(lid: Lid, dome: Channel, stone: Channel | null, t: number): LidMove | null {
  const drop = lid.level - lid.lowest;
  const since = t - lid.openedAt;
  const isFast = drop > DEEP_FALL_CELSIUS && since < FAST_FALL_SECONDS + (dome.filter.every ?? 0);
  const isBack =
    drop > SHALLOW_FALL_CELSIUS &&
    lid.lowestAt - lid.openedAt < LOWEST_WITHIN_SECONDS &&
    comesBack(lid, dome, 0.12 * drop);
  if (isFast || isBack || (stone && since < 60 && stoneAnswers(stone, t))) {
    lid.phase = 'open';
    lid.wasOpen = true;
    return { event: 'lid-open', at: lid.openedAt, drop, confidence: Math.min(0.99, 0.75 + drop / 200) };
  }
  if (since < GIVE_UP_SECONDS) return null;
  const at = lid.openedAt;
  close(lid, t);
  return { event: 'vent', at, drop, confidence: 0.6 };
}

/** The stone's skin fell beside its course, more than noise does. */
function stoneAnswers(stone: Channel, t: number): boolean {
  const dip = dipOf(stone, t, t - 120, 0.02);
  return dip !== null && dip.drop > Math.max(1.2, 4 * Math.sqrt((stone.filter.track?.p11 ?? 1) + 0.04));
}

const comesBack = (lid: Lid, { filter }: Channel, share: number): boolean =>
  (filter.track?.x ?? 0) > lid.lowest + Math.max(2, 4 * Math.sqrt(filter.noise), share) &&
  (filter.track?.v ?? 0) > 0;

export function open(lid: Lid, t: number, at: number, level: number, now: number): void {
  lid.phase = 'suspected';
  lid.wasOpen = false;
  lid.openedAt = at;
  lid.level = level;
  lid.lowest = now;
  lid.lowestAt = t;
  lid.isTapped = false;
  lid.eventId = null;
}

export function close(lid: Lid, at: number): void {
  lid.phase = 'shut';
  lid.closedAt = at;
}

/** A lid stands open for longer than this only when it was forgotten, s; half of the dome's heat is gone by then. */
const LONGEST_OPENING_SECONDS = 100;

/** Weight of the last opening in what is usual. */
const NEWEST_WEIGHT = 0.4;

function stepOpen(lid: Lid, dome: Channel, t: number): LidMove | null {
  if (lid.isTapped) return null;
  const isBack = comesBack(lid, dome, 0.03 * (lid.level - lid.lowest));
  const isSpent =
    t - lid.openedAt > LONGEST_OPENING_SECONDS && (dome.filter.track?.x ?? 0) > 20 + 0.5 * (lid.level - 20);
  if (!isBack && !isSpent) return null;
  const at = Math.max(lid.openedAt + 5, Math.min(t, lid.lowestAt - 5));
  const drop = lid.level - lid.lowest;
  lid.usualDrop = drop + (1 - NEWEST_WEIGHT) * ((lid.usualDrop ?? drop) - drop);
  close(lid, t);
  return { event: 'lid-closed', at, drop, confidence: 0.8 };
}

/** How long it has stood open, s. */
export const openFor = (lid: Lid, t: number): number => (lid.phase === 'open' ? t - lid.openedAt : 0);

/** Without a dome the stone alone tells: its skin falls a little and fast. Told once a minute at most, never as left open. */
export function lidByStone(lid: Lid, stone: Channel, t: number): LidMove | null {
  if (t - lid.openedAt < 60 || (stone.filter.track?.x ?? 0) < 90) return null;
  const dip = dipOf(stone, t, lid.closedAt, 0.05);
  if (!dip || dip.drop < Math.max(2, 5 * Math.sqrt(stone.filter.noise))) return null;
  const at = fallBegan(stone, dip, t);
  if (dip.drop / Math.max(5, t - at) < 0.08) return null;
  lid.openedAt = at;
  lid.closedAt = t;
  return { event: 'lid-open', at, drop: dip.drop, confidence: 0.6 };
}
