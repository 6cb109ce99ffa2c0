import type { Band } from '../../../shared/engine.ts';
import type { Taste } from '../../../shared/evening/evening.ts';
import { temperatureText, type Unit } from '../../../shared/units.ts';

/** A pizza that is still to come. */
export type Wish = { id: string; eater: string; taste: Taste };

/**
 * Where in the band a pizza is best baked, 0 its bottom and 1 its top: pale ones low, well done and crisp ones high, a
 * wet one a little higher so that it dries. Our own first guess.
 */
export const placeWanted = ({ base, crust, wetness }: Taste): number =>
  Math.max(0, Math.min(1, 0.5 + 0.18 * base + 0.1 * crust + 0.05 * wetness));

/** How the run goes: when the first goes on, seconds of a bake and of the recovery after it. */
export type Rhythm = { readyAt: number; bakeSeconds: number; recoverySeconds: number };
/** The stone is short of so much more each time, °C (our estimate). */
const CARRY_CELSIUS = 2;

/** Stone at `t` on a forecast of straight pieces, the ends held; null without a forecast. */
function stoneAt(curve: readonly { t: number; celsius: number }[], t: number): number | null {
  const next = curve.findIndex((point) => point.t >= t);
  const [a, b] = [curve[next - 1], curve[next]];
  if (!b) return curve[curve.length - 1]?.celsius ?? null;
  if (!a) return b.celsius;
  return a.celsius + ((b.celsius - a.celsius) * (t - a.t)) / (b.t - a.t);
}

/**
 * The stone at each place in the run, °C: the forecast as far as it goes (its end held), less what each bake leaves
 * behind. Without a forecast the middle of the band.
 */
export function stonesAhead(
  count: number,
  { readyAt, bakeSeconds, recoverySeconds }: Rhythm,
  curve: readonly { t: number; celsius: number }[],
  band: Band,
): number[] {
  return Array.from({ length: count }, (_, i) => {
    const stone = stoneAt(curve, readyAt + i * (bakeSeconds + recoverySeconds));
    return Math.max(band[0], (stone ?? (band[0] + band[1]) / 2) - i * CARRY_CELSIUS);
  });
}

/** The wishes of each eater in turn: all first pizzas, then all second ones, so that nobody waits for two of another. */
function rounds(wishes: readonly Wish[]): Wish[][] {
  const found: Wish[][] = [];
  const pizzasOf = new Map<string, number>();
  for (const wish of wishes) {
    const round = pizzasOf.get(wish.eater) ?? 0;
    pizzasOf.set(wish.eater, round + 1);
    (found[round] ??= []).push(wish);
  }
  return found;
}

/**
 * The order proposed: within each round the pizza that wants the hottest stone gets the hottest place, and so on down,
 * which is the least sum of squared misses (rearrangement inequality). Equal tastes keep the order they were given in.
 * A proposal: nothing is forced.
 */
export function proposeOrder(wishes: readonly Wish[], stones: readonly number[]): Wish[] {
  let from = 0;
  return rounds(wishes).flatMap((round) => {
    const free = stones.slice(from, from + round.length);
    from += round.length;
    const byWish = [...round].sort((a, b) => placeWanted(a.taste) - placeWanted(b.taste));
    const byHeat = round.map((_, i) => i).sort((a, b) => (free[a] ?? 0) - (free[b] ?? 0));
    const order: Wish[] = [];
    byHeat.forEach((place, i) => {
      const wish = byWish[i];
      if (wish) order[place] = wish;
    });
    return order;
  });
}

/** Why a pizza stands where it does: "crisp, so late while the stone is at 281 °C". */
export function reason(wish: Wish, stone: number, band: Band, unit: Unit): string {
  const place = (stone - band[0]) / (band[1] - band[0]);
  const where =
    place < 0.35 ? 'low in its band' : place > 0.65 ? 'high in its band' : 'in the middle of its band';
  const want = placeWanted(wish.taste);
  const likes = want < 0.4 ? 'likes it pale' : want > 0.6 ? 'likes it well done' : 'likes it middling';
  return `${wish.eater || 'This one'} ${likes}; the stone will be ${where}, about ${temperatureText(stone, unit)}.`;
}
