/**
 * Whether a grill whose cook was ended has been lit again, by its warm probes alone. Left to itself it only cools: the
 * dome that was opened comes back at most to what its stone has, and a stone that has fallen does not warm by itself.
 * The figures are ours.
 */
type Excursion = { from: number; low: number; last: number };
export type Watch = { stone: Excursion | null; dome: Excursion | null; sinceRise: number | null };
export const freshWatch = (): Watch => ({ stone: null, dome: null, sinceRise: null });

/** It has begun to cool once it is so much below where it was, °C, or below this. */
const COOLED_CELSIUS = { by: 20, below: 60 };
/** A rise over its lowest that is clear, °C: of either beside the other, and of a dome whose stone is not known. */
const CLEAR_RISE_CELSIUS = { clear: 40, dome: 100 };
/** A dome with a fire under it is so much hotter than its stone, °C. */
const DOME_OVER_STONE_CELSIUS = 10;
/** A rise counts once it has held for so long, s. */
const RISE_HOLDS_SECONDS = 60;

const excursionTo = (excursion: Excursion | null, celsius: number): Excursion =>
  excursion
    ? { ...excursion, low: Math.min(excursion.low, celsius), last: celsius }
    : { from: celsius, low: celsius, last: celsius };

const risen = (excursion: Excursion | null): number =>
  excursion && (excursion.low <= excursion.from - COOLED_CELSIUS.by || excursion.low < COOLED_CELSIUS.below)
    ? excursion.last - excursion.low
    : 0;

function isRising({ stone, dome }: Watch): boolean {
  if (risen(stone) >= CLEAR_RISE_CELSIUS.clear) return true;
  const isOverStone = stone === null || (dome?.last ?? 0) > stone.last + DOME_OVER_STONE_CELSIUS;
  return isOverStone && risen(dome) >= (stone === null ? CLEAR_RISE_CELSIUS.dome : CLEAR_RISE_CELSIUS.clear);
}

/** Takes in a good reading, t s, °C. */
export function watched(watch: Watch, role: 'stone' | 'dome', t: number, celsius: number): Watch {
  const next = { ...watch, [role]: excursionTo(watch[role], celsius) };
  return { ...next, sinceRise: isRising(next) ? (watch.sinceRise ?? t) : null };
}

export const isRelit = ({ sinceRise }: Watch, t: number): boolean =>
  sinceRise !== null && t - sinceRise >= RISE_HOLDS_SECONDS;
