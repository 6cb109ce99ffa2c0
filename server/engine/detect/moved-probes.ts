import type { Role } from '../../../shared/words.ts';
import type { Channel } from '../estimate/channel.ts';

/**
 * Nothing in a grill leaps: a stone takes minutes for tens of degrees upward, and a cold base takes off no more than its
 * skin had. A reading that leaps further and stays there is of another place: the probe was moved. Two that leap at
 * about the same time, each to where the other was, were swapped. Times s, temperatures °C.
 */
type Leap = { channel: string; role: Role; t: number; from: number; to: number };
/** Leaps that wait for their partner, and how far each channel's were looked at. */
export type ProbeWatch = { pending: Leap[]; seen: Record<string, number> };

export const freshProbeWatch = (): ProbeWatch => ({ pending: [], seen: {} });

/** How far a channel may leap with its probe where it was, up and down, °C (our choice, from simulated cooks). */
const LEAP_LIMITS_CELSIUS: Record<Role, readonly [up: number, down: number]> = {
  stone: [20, 100],
  dome: [70, 180],
  other: [150, 150],
};
/** Smaller leaps than this are of no interest, °C; a partner's comes within so long, s, and lands so near, as a share. */
const MIN_LEAP_CELSIUS = 15;
const PARTNER_WITHIN_SECONDS = 45;
const PARTNER_SHARE = 0.3;
/** A leap that has come back by this share in that time was none. */
const RETURNED_SHARE = 0.4;

type ProbeMove = { event: 'probe-moved' | 'probe-swapped'; leap: Leap; partner: Leap | null };

function isDishonest({ role, from, to }: Leap): boolean {
  const [up, down] = LEAP_LIMITS_CELSIUS[role];
  return to - from > up || from - to > down;
}

/** It is still there: what springs back was a spike, or a skin under a base. */
function hasHeld({ channel, from, to }: Leap, channels: readonly Channel[]): boolean {
  const now = channels.find(({ id }) => id === channel)?.filter.track?.x ?? from;
  return Math.abs(now - to) < RETURNED_SHARE * Math.abs(to - from);
}

function isSwap(a: Leap, b: Leap): boolean {
  const apart = Math.abs(a.from - b.from);
  return (
    apart > MIN_LEAP_CELSIUS &&
    Math.abs(a.to - b.from) < PARTNER_SHARE * apart &&
    Math.abs(b.to - a.from) < PARTNER_SHARE * apart
  );
}

/**
 * Looks at what leapt since the last time. @returns what it noticed, once the leap has held and no partner can come any more
 * @param isBusy a pizza went on or came off just now: hands and dough are at the probe
 */
export function stepProbes(
  watch: ProbeWatch,
  channels: readonly Channel[],
  t: number,
  isBusy: boolean,
): ProbeMove[] {
  for (const { id, role, filter } of channels) {
    const { jumpedAt, jumpedFrom, track } = filter;
    if (jumpedAt === null || !track || watch.seen[id] === jumpedAt) continue;
    watch.seen[id] = jumpedAt;
    const leap = { channel: id, role, t: jumpedAt, from: jumpedFrom, to: track.x };
    if (Math.abs(leap.to - leap.from) > MIN_LEAP_CELSIUS) watch.pending.push(leap);
  }
  const found: ProbeMove[] = [];
  for (const leap of watch.pending) {
    if (!watch.pending.includes(leap)) continue;
    if (t - leap.t < PARTNER_WITHIN_SECONDS) continue;
    const partner = watch.pending.find((other) => other.channel !== leap.channel && isSwap(leap, other));
    watch.pending = watch.pending.filter((candidate) => candidate !== leap && candidate !== partner);
    if (!hasHeld(leap, channels) || isBusy) continue;
    if (partner) found.push({ event: 'probe-swapped', leap, partner });
    else if (isDishonest(leap)) found.push({ event: 'probe-moved', leap, partner: null });
  }
  return found;
}
