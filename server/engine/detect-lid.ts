import type { Channel } from './channel.ts';
import { lineThrough, valueAt } from './trend.ts';

/**
 * An open lid lets the hot air out: the dome falls tens of degrees in half a minute, much faster than any vent can
 * make it, and comes back once the lid is shut. Times s.
 */
export type Lid = {
  isOpen: boolean;
  openedAt: number;
  /** When the dip was seen, its depth so far in °C, and the lowest dome and when. */
  seenAt: number;
  level: number;
  lowest: number;
  lowestAt: number;
  closedAt: number;
  /** Steepest fall of this dip, °C/s. */
  steepest: number;
  /** Set by a person's tap: the curve does not overrule it. */
  isTapped: boolean;
};

export const freshLid = (): Lid => ({
  isOpen: false,
  openedAt: -1e6,
  seenAt: -1e6,
  level: 0,
  lowest: 0,
  lowestAt: -1e6,
  closedAt: -1e6,
  steepest: 0,
  isTapped: false,
});

/** The dome some seconds ago, carried straight on, against the dome now. */
export type Dip = { drop: number; perSecond: number; at: number; level: number };

/** Seconds that a dip may take to show, and how long a piece before it says what was going on. */
const WINDOW = 30;
const BEFORE = 45;

/**
 * How far the dome lies under the straight line of what it did before; null where too little is known.
 * The line may fall (vents shut) and is then carried on whole; a rise is not, since it bends.
 */
export function dipOf(dome: Channel, t: number, after: number): Dip | null {
  const { track } = dome.filter;
  if (!track) return null;
  const window = Math.max(WINDOW, 3 * (dome.filter.every ?? 0));
  const to = t - window;
  const line = lineThrough(dome.bins, Math.max(after, to - BEFORE - 3 * (dome.filter.every ?? 0)), to);
  if (!line) return null;
  const slope = Math.max(-0.6, Math.min(0.05, line.slope));
  const level = valueAt(line, 0);
  const expected = level + slope * window;
  return { drop: expected - track.x, perSecond: track.v - Math.min(0, slope), at: to, level };
}

/** Where the fall began: the last bin that still lay near the line, °C within a share of the drop. */
export function fallBegan(channel: Channel, dip: Dip, t: number): number {
  const { bins } = channel;
  const line = lineThrough(bins, dip.at - BEFORE, dip.at);
  if (!line) return dip.at;
  const slope = Math.max(-0.6, Math.min(0.3, line.slope));
  let began = dip.at;
  for (let i = 0; i < bins.t.length; i++) {
    const at = bins.t[i] ?? 0;
    if (at < dip.at || at > t) continue;
    const expected = valueAt(line, 0) + slope * (at - dip.at);
    if (expected - (bins.celsius[i] ?? 0) > 0.15 * dip.drop) break;
    began = at;
  }
  return began;
}

export type LidMove = { event: 'lid-open' | 'lid-closed'; at: number; drop: number; confidence: number };

/** Looks at the dome at `t`. @returns what it noticed, or null */
export function stepLid(lid: Lid, dome: Channel | null, t: number): LidMove | null {
  if (!dome || dome.filter.good === null) return null;
  return lid.isOpen ? stepOpen(lid, dome, t) : stepShut(lid, dome, t);
}

function stepShut(lid: Lid, dome: Channel, t: number): LidMove | null {
  if (dome.filter.wild || (dome.filter.track?.v ?? 0) > -0.15) return null;
  const dip = dipOf(dome, t, Math.max(lid.lowestAt, lid.closedAt));
  if (!dip) return null;
  const noise = Math.sqrt(dome.filter.noise);
  const needed = Math.max(8, 6 * noise);
  if (dip.drop < needed || dip.perSecond > -0.3) return null;
  const at = fallBegan(dome, dip, t);
  open(lid, t, at, dip.level, dome.filter.track?.x ?? 0);
  return { event: 'lid-open', at, drop: dip.drop, confidence: Math.min(0.99, 0.7 + dip.drop / 100) };
}

export function open(lid: Lid, t: number, at: number, level: number, now: number): void {
  lid.isOpen = true;
  lid.openedAt = at;
  lid.seenAt = t;
  lid.level = level;
  lid.lowest = now;
  lid.lowestAt = t;
  lid.steepest = 0;
  lid.isTapped = false;
}

export function close(lid: Lid, at: number): void {
  lid.isOpen = false;
  lid.closedAt = at;
}

/** Shut again once the dome comes back, or has stopped falling as fast as it did. */
function stepOpen(lid: Lid, dome: Channel, t: number): LidMove | null {
  const { track } = dome.filter;
  if (!track) return null;
  if (track.x < lid.lowest) {
    lid.lowest = track.x;
    lid.lowestAt = t;
  }
  lid.steepest = Math.min(lid.steepest, track.v);
  if (lid.isTapped) return null;
  const isBack = track.x > lid.lowest + Math.max(1.5, 3 * Math.sqrt(dome.filter.noise)) && track.v > 0;
  const isSpent = t - lid.openedAt > 30 && track.v > 0.12 * lid.steepest && !isGone(lid, track.x);
  if (!isBack && !isSpent) return null;
  const at = Math.max(lid.openedAt + 5, Math.min(t, lid.lowestAt - 5));
  close(lid, at);
  return { event: 'lid-closed', at, drop: lid.level - lid.lowest, confidence: 0.8 };
}

/** So much of the dome's heat is gone as no short opening takes. */
const isGone = (lid: Lid, now: number): boolean => now < 20 + 0.45 * (lid.level - 20);

/** How long it has stood open, s. */
export const openFor = (lid: Lid, t: number): number => (lid.isOpen ? t - lid.openedAt : 0);
