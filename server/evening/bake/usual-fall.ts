import { medianOf } from '../../../shared/statistics/median.ts';
import { DOUGH_AT_LAUNCH_CELSIUS } from '../stone/materials.ts';

/**
 * What a launch usually does to a stone (or to the dome, whose lid was up): how far its probe fell, as a share of what
 * it stood above the dough. Learnt from earlier launches of the same stone; before the first there is none, and whatever
 * comes is the usual.
 */

/** Seconds after the launch at which a fall is kept. */
export const KNOT_SECONDS = [15, 30, 45, 60, 90, 120, 180, 240, 300, 420, 600, 900, 1200] as const;

/** Share of the fall at each of `KNOT_SECONDS`; null where it was not seen. */
export type Fall = readonly (number | null)[];
export type Usual = { fall: readonly number[]; launches: number };

/** Only so many of the last launches count. */
const MAX_LAUNCHES = 12;

/** The middle of earlier falls, oldest first; null where there were none. */
export function usualOf(falls: readonly Fall[]): Usual | null {
  const seen = falls.filter((fall) => fall.some((each) => each !== null)).slice(-MAX_LAUNCHES);
  if (seen.length === 0) return null;
  let last = 0;
  const fall = KNOT_SECONDS.map((_, i) => {
    const at = medianOf(seen.flatMap((each) => each[i] ?? []));
    return (last = at ?? last);
  });
  return { fall, launches: seen.length };
}

/** Share of the fall `since` s after the launch: straight between the knots, the last one held. */
export function fallAt({ fall }: Usual, since: number): number {
  let [t, share] = [0, 0];
  for (const [i, knot] of KNOT_SECONDS.entries()) {
    const next = fall[i] ?? share;
    if (since < knot) return share + ((next - share) * Math.max(0, since - t)) / (knot - t);
    [t, share] = [knot, next];
  }
  return share;
}

/** A probe that stood at `launch` and now reads `celsius` has fallen by this share. */
export const shareOf = (launch: number, celsius: number): number =>
  (launch - celsius) / Math.max(20, launch - DOUGH_AT_LAUNCH_CELSIUS);

/** What a probe that stood at `reference` reads after this share of fall, °C. */
export const fallen = (reference: number, share: number): number =>
  reference - share * Math.max(20, reference - DOUGH_AT_LAUNCH_CELSIUS);
