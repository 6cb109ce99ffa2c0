import type { Band } from '../../../shared/engine.ts';
import type { Pizza, PizzaReview } from '../../../shared/evening/pizza.ts';

/** How long the stone was ready before a launch, and how long after the off it was ready again; null where it was not. */
export type Waits = { waitedSeconds: number | null; readyAgainSeconds: number | null };

/** A pizza after the cook; °C and seconds. `offAfter` is what the bake was meant to take, s. */
export type Baked = Omit<PizzaReview, 'id'> &
  Waits &
  Pick<Pizza, 'name' | 'eater' | 'offAfter' | 'base' | 'top'>;

/** When closing the vents was called, and when they were closed; null where nobody said and nothing showed it. */
export type VentsCall = { calledAt: number; closedAt: number | null };

/** A cook after it; times in seconds since it started, null where it did not happen or was not seen. */
export type CookFigures = {
  litAt: number | null;
  readyAt: number | null;
  firstLaunchAt: number | null;
  /** When the plan had the first launch. */
  plannedLaunchAt: number | null;
  shutAt: number | null;
  /** Highest stone, °C, before the first launch. */
  peakStone: number | null;
  stone: Band;
  dome: Band | null;
  gapMm: number | null;
  /** The call to close the vents before the stone was at its highest; null where there was none. */
  ventsCall: VentsCall | null;
  /** Seconds with the stone above its band before the first launch, and with the lid open. */
  overBeforeSeconds: number;
  lidOpenSeconds: number;
  charcoalGrams: number | null;
  /** Launches that were read off the curves, whether or not anybody said that they were. */
  seenLaunches: number;
  /** In the order of their launches. */
  pizzas: readonly Baked[];
};

/** One thing to change next time, with the figures that say so, and how much it spoilt. */
export type Change = { text: string; why: string };
export type Weighed = Change & { weight: number };
