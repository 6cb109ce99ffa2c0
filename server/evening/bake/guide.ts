import type { Taste } from '../../../shared/evening/evening.ts';
import {
  baseSpeedOf,
  deviationAhead,
  launchDeviation,
  speedAt,
  topSpeedOf,
  type Bake,
  type Side,
  type SpeedOf,
} from './bake.ts';

/** Seconds of a bake in the middle of the band: what base and top of this pizza want. */
export type Wanted = { base: number; top: number };
/** What verdicts taught: ln of the factor on what is wanted. */
type Learned = { base: number; top: number };

/** What a step of taste is worth, as a share of the bake (our own first guess; the verdicts put it right). */
const TASTE_STEP_SHARE = { base: 0.07, crust: 0.04, wetness: 0.04 } as const;

/** What an eater wants, from the person's own time, s. Taste as in shared/evening/evening.ts, each from -2 to 2. */
export function wantedFor(taste: Taste, own: number, learned: Learned = { base: 0, top: 0 }): Wanted {
  return {
    base:
      own *
      (1 + TASTE_STEP_SHARE.base * taste.base + TASTE_STEP_SHARE.crust * taste.crust) *
      Math.exp(learned.base),
    top:
      own *
      (1 + (TASTE_STEP_SHARE.base * taste.base) / 2 + TASTE_STEP_SHARE.wetness * taste.wetness) *
      Math.exp(learned.top),
  };
}

/** How many seconds of the change come from where. */
export type Parts = { launch: number; course: number; dome: number };
export type Warning = { text: string; cure: string };
/** Times are seconds after the launch. */
export type Guide = { base: number; top: number | null; off: number; agrees: boolean; parts: Parts };

function doneAt(side: Side, wanted: number, speed: SpeedOf): { at: number; agrees: boolean } {
  const { ln, agrees } = speedAt(side, deviationAhead(side), side.since, speed);
  return { at: side.since + (wanted - side.had) / Math.exp(ln), agrees };
}

/**
 * A top that is early or late, by the dome as it was read, moves the end by half of that, but by no more than this share:
 * a burnt base can't be mended (our own choice).
 */
const MAX_TOP_SHARE = 0.12;

/** When base and top are done and the pizza is to come off. Recomputed at will: nothing is kept. */
export function guide(bake: Bake, wanted: Wanted): Guide {
  const speed = baseSpeedOf(bake);
  const { at: base, agrees } = doneAt(bake.base, wanted.base, speed);
  const top = bake.top.reference === null ? null : doneAt(bake.top, wanted.top, topSpeedOf);
  const most = MAX_TOP_SHARE * wanted.base;
  const dome = top?.agrees ? Math.max(-most, Math.min(most, (top.at - wanted.top) / 2)) : 0;
  const usualSpeed = speedAt(bake.base, launchDeviation(bake.base), bake.base.since, speed);
  const launch = wanted.base / Math.exp(usualSpeed.ln) - wanted.base;
  const parts = { launch, course: base - wanted.base - launch, dome };
  return { base, top: top?.agrees ? top.at : null, off: base + dome, agrees, parts };
}

/** Base and top further apart than this share of the bake, and than this, s, are warned of. */
const BASE_TOP_APART = { share: 0.25, seconds: 60 };

const span = (seconds: number): string =>
  seconds < 120 ? `${Math.round(seconds / 10) * 10} s` : `${Math.round(seconds / 60)} min`;

/** What to do where base and top will not be done together; null where they are, or where nothing is known of the top. */
export function warningOf({ base, top }: Guide, wanted: Wanted): Warning | null {
  if (top === null) return null;
  const gap = top - base - (wanted.top - wanted.base);
  if (Math.abs(gap) <= Math.max(BASE_TOP_APART.seconds, BASE_TOP_APART.share * wanted.base)) return null;
  if (gap > 0)
    return {
      text: `The base will be done about ${span(gap)} before the top.`,
      cure: 'Keep the lid shut. When the base is done take it off, the top pale or not. Before the next pizza let the dome come back into its band.',
    };
  return {
    text: `The top will be done about ${span(-gap)} before the base.`,
    cure: 'Close the vents a little, so that the dome comes down. Before the next pizza let the stone soak longer, or narrow the gap under it.',
  };
}
