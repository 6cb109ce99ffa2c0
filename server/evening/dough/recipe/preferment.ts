import type { Preferment, PrefermentKind } from '../../../../shared/evening/dough.ts';
import type { PlanSettings } from '../../../../shared/evening/evening.ts';
import { fractionFor, REFERENCE_CELSIUS, workRate } from '../physics/yeast.ts';

/** What is usual for a kind (common practice, no source). °C, hours, fractions. */
const USUAL: Record<
  PrefermentKind,
  { flourShare: number; hydration: number; hours: number; celsius: number }
> = {
  poolish: { flourShare: 0.3, hydration: 1, hours: 12, celsius: 20 },
  biga: { flourShare: 0.4, hydration: 0.5, hours: 16, celsius: 18 },
  sourdough: { flourShare: 0.12, hydration: 1, hours: 5, celsius: 24 },
};

/** A preferment is let go further than a dough: this much more yeast than a dough of its time (our estimate). */
const PREFERMENT_YEAST_FACTOR = 2;
/** Its yeast multiplies before it goes into the dough (our estimate). */
const YEAST_GROWTH_FACTOR = 2;
/**
 * Flour of a ripe sourdough does as much as this fraction of it in instant yeast: our estimate, within what the
 * regulations of the Associazione Verace Pizza Napoletana allow (5 to 20 % of mother yeast for doughs of 8 to 24 h).
 */
const SOURDOUGH_YEAST_FRACTION = 0.006;
/** What is left of its strength, by how it is at mixing (our estimate). */
const STRENGTH_BY_RIPENESS = { young: 0.6, ripe: 1, past: 0.75 } as const;
/** At most this share of the water is in the preferment: some is needed for the dough's temperature. */
const MAX_WATER_SHARE = 0.85;

/** A preferment filled in. `yeast` and `strength` are instant yeast, as fractions of all the flour. */
type Ferment = {
  kind: PrefermentKind;
  flourShare: number;
  waterShare: number;
  hours: number;
  celsius: number;
  /** As it goes into the dough, °C. */
  goesInC: number;
  /** Put into it. */
  yeast: number;
  /** What it brings into the dough. */
  strength: number;
  /** Of the flour asked for in it, less where the dough has not so much water. */
  asked: number;
};

function yeastOf({ kind }: Preferment, hours: number, celsius: number): number {
  if (kind === 'sourdough') return 0;
  const work = (hours * workRate(celsius)) / workRate(REFERENCE_CELSIUS);
  return PREFERMENT_YEAST_FACTOR * fractionFor(work);
}

/** The preferment of these settings; null without one. */
export function prefermentOf(settings: PlanSettings): Ferment | null {
  const wish = settings.preferment;
  if (!wish) return null;
  const usual = USUAL[wish.kind];
  const hydration = wish.hydration ?? usual.hydration;
  const asked = wish.flourShare ?? usual.flourShare;
  const flourShare = Math.min(asked, (MAX_WATER_SHARE * settings.hydration) / hydration);
  const hours = wish.hours ?? usual.hours;
  const celsius = wish.celsius ?? usual.celsius;
  const yeast = flourShare * yeastOf(wish, hours, celsius);
  const own = wish.kind === 'sourdough' ? SOURDOUGH_YEAST_FRACTION * flourShare : YEAST_GROWTH_FACTOR * yeast;
  return {
    kind: wish.kind,
    flourShare,
    waterShare: flourShare * hydration,
    hours,
    celsius,
    goesInC: settings.prefermentC ?? celsius,
    yeast,
    strength: own * STRENGTH_BY_RIPENESS[wish.ripeness],
    asked,
  };
}
