import type { Lid } from './lid-detector.ts';

/**
 * Charcoal goes on a fire that fades: the lid stays up longer than for a look, no pizza goes on or comes off, the dome was
 * low before, and the stone does not climb. Nothing on the curve proves it, so it is only ever asked. Times s.
 */
export type FuelWatch = { openedAt: number | null; level: number; addedAt: number };

export const freshFuelWatch = (): FuelWatch => ({ openedAt: null, level: 0, addedAt: -1e6 });

/** A look takes a dozen seconds, a shovel half a minute (common practice, no source). */
const MIN_OPEN_SECONDS = 25;
const MAX_OPEN_SECONDS = 300;
/** Nobody adds more charcoal so soon, s: what looks like it is the dome that comes back. */
const ENOUGH_FOR = 300;
/** A launch or an off is seen in the stone within so long. */
const PIZZA_SHOWS_SECONDS = 90;
/** So far below the stone's band, °C, the dome of a fading fire lies. */
const LOW_DOME_CELSIUS = 30;
/** A stone below this, °C, is of a fire that is still being lit; one that climbs faster, °C/min, is of one that does not fade. */
const LIT_ABOVE_CELSIUS = 90;
const CLIMBING_PER_MINUTE = 1;
/** Nobody sees a pizza on a stone that nobody measures: one that is no farther below its band, °C, may have had it. */
const BAKES_BELOW_CELSIUS = 25;

type Fuelled = { at: number; open: number; dome: number };

/** What of the cook it looks at. */
type Seen = { lid: Lid; onStone: readonly unknown[]; offAt: number | null };

/** Looks at the lid at `t`. @returns what it took for charcoal being added, once an opening; else null */
export function stepFuel(
  watch: FuelWatch,
  { lid, onStone, offAt }: Seen,
  {
    t,
    stone,
    low,
  }: { t: number; stone: { celsius: number; perMinute: number; isEstimate: boolean } | null; low: number },
): Fuelled | null {
  if (lid.phase === 'open') {
    watch.openedAt = lid.openedAt;
    watch.level = lid.level;
    return null;
  }
  if (watch.openedAt === null || t - lid.closedAt < PIZZA_SHOWS_SECONDS) return null;
  const { openedAt, level } = watch;
  watch.openedAt = null;
  // The dome falls as long as the lid is up.
  const open = lid.lowestAt - openedAt;
  const isPizza = onStone.length > 0 || (offAt ?? -1e6) > openedAt - 30;
  const fades = stone !== null && stone.celsius > LIT_ABOVE_CELSIUS && stone.perMinute < CLIMBING_PER_MINUTE;
  const mayBake = stone !== null && stone.isEstimate && stone.celsius > low - BAKES_BELOW_CELSIUS;
  if (
    isPizza ||
    mayBake ||
    !fades ||
    open < MIN_OPEN_SECONDS ||
    open > MAX_OPEN_SECONDS ||
    level > low - LOW_DOME_CELSIUS
  )
    return null;
  if (openedAt - watch.addedAt < ENOUGH_FOR) return null;
  watch.addedAt = openedAt;
  return { at: openedAt + 10, open, dome: level };
}
