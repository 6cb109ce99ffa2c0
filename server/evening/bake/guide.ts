import { DEFAULT_BAKE } from '../../../shared/engine.ts';
import type { Taste } from '../../../shared/evening.ts';
import type { Touch } from '../stone/contact.ts';
import { bakeAt, type Bake } from './bake.ts';
import { baseDose, REFERENCE, topDose, whenDose, type Dose, type Point } from './dose.ts';

/** Doses wanted, s at the reference. */
export type Wanted = { turn: number; base: number; top: number };
/** What verdicts taught, s at the reference, for base and top; 0 where there were none. */
export type Learned = { base: number; top: number };

/** What a step of taste is worth, as a fraction of the bake (our own first guess; the verdicts put it right). */
const WORTH = { base: 0.07, crust: 0.04, wetness: 0.04 } as const;

/** Doses that an eater wants. Taste as in shared/evening.ts, each from -2 to 2. */
export function wantedFor(
  taste: Taste,
  learned: Learned = { base: 0, top: 0 },
  usual: { turnAfter: number; offAfter: number } = DEFAULT_BAKE,
): Wanted {
  const base = usual.offAfter * (1 + WORTH.base * taste.base + WORTH.crust * taste.crust) + learned.base;
  const top =
    usual.offAfter * (1 + (WORTH.base * taste.base) / 2 + WORTH.wetness * taste.wetness) + learned.top;
  return { turn: (base * usual.turnAfter) / usual.offAfter, base, top };
}

/** The curves ahead, from the engine's forecast: middle values, time order. Empty: the last value holds. */
export type Ahead = { stone: readonly Point[]; dome: readonly Point[] };

/** Times are seconds since the cook started; null where it takes longer than half an hour, or the dome is not seen. */
export type Guide = {
  turnAt: number | null;
  lookAt: number | null;
  offAt: number | null;
  baseAt: number | null;
  topAt: number | null;
  say: 'wait' | 'turn' | 'look' | 'off';
  warning: { text: string; cure: string } | null;
};

/** Seconds before off at which a look is worth it, and how far the top may pull off from where the base wants it. */
const LOOK_BEFORE = 60;
const TOP_PULLS = 30;
/** Base and top further apart than this, s, are warned of. */
const APART = 60;

const curve = (now: number, celsius: number, ahead: readonly Point[]): Point[] => [
  { t: now, celsius },
  ...ahead.filter(({ t }) => t > now),
];

/** When a dose is or was reached: one that is passed lies back by as long as the present rate takes for the excess. */
function reached(need: number, curve: readonly Point[], dose: Dose): number | null {
  const [first] = curve;
  const rate = first ? dose(first.celsius, first.celsius, 1) : 0;
  if (!first || need >= 0 || rate <= 0) return whenDose(need, curve, dose);
  return first.t + need / rate;
}

/** Off lies midway between what base and top want, within 30 s of the base: a burnt base can't be mended. */
function offBetween(baseAt: number | null, topAt: number | null): number | null {
  if (baseAt === null || topAt === null) return baseAt;
  const pull = (topAt - baseAt) / 2;
  return baseAt + Math.max(-TOP_PULLS, Math.min(TOP_PULLS, pull));
}

function warningOf(baseAt: number | null, topAt: number | null, domeSeen: boolean): Guide['warning'] {
  if (baseAt === null || !domeSeen) return null;
  const gap = (topAt ?? Infinity) - baseAt;
  if (gap > APART)
    return {
      text: `The base will be done ${spokenGap(gap)} before the top.`,
      cure: 'Lid shut; for the last minute lift the pizza towards the dome. Next time: vents a little wider, or a wider gap under the stone.',
    };
  if (gap < -APART)
    return {
      text: `The top will be done ${spokenGap(-gap)} before the base.`,
      cure: 'Close the vents a little, so that the dome comes down. Next time: a hotter stone, or a narrower gap under it.',
    };
  return null;
}

const spokenGap = (seconds: number): string =>
  seconds > 600
    ? 'long'
    : seconds < 120
      ? `${Math.round(seconds / 5) * 5} s`
      : `${Math.round(seconds / 60)} min`;

function sayOf(
  now: number,
  turned: boolean,
  turnAt: number | null,
  lookAt: number | null,
  offAt: number | null,
): Guide['say'] {
  const due = (at: number | null): boolean => at !== null && now >= at;
  if (due(offAt)) return 'off';
  if (!turned && due(turnAt)) return 'turn';
  return due(lookAt) ? 'look' : 'wait';
}

/**
 * What to do with the pizza on the stone, from what it has had and what lies ahead. Recomputed at will: nothing is
 * kept. A lid that is open now counts as closed from now on.
 */
export function guide(
  bake: Bake,
  wanted: Wanted,
  ahead: Ahead,
  now: number,
  turned = false,
  touch?: Touch,
): Guide {
  const { base, top } = bakeAt(bake, now, touch);
  const stone = curve(now, base.celsius ?? REFERENCE.stone, base.celsius === null ? [] : ahead.stone);
  const domeSeen = top.celsius !== null;
  const dome = curve(now, top.celsius ?? REFERENCE.dome, ahead.dome);
  const dose = baseDose(touch);
  const turnAt = reached(wanted.turn - base.dose, stone, dose);
  const baseAt = reached(wanted.base - base.dose, stone, dose);
  const topAt = domeSeen ? reached(wanted.top - top.dose, dome, topDose) : null;
  const offAt = offBetween(baseAt, topAt);
  const lookAt = offAt === null ? null : Math.max(offAt - LOOK_BEFORE, turnAt ?? 0);
  const say = sayOf(now, turned, turnAt, lookAt, offAt);
  return { turnAt, lookAt, offAt, baseAt, topAt, say, warning: warningOf(baseAt, topAt, domeSeen) };
}
