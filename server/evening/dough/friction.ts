import type { PlanSettings } from '../../../shared/evening/evening.ts';
import { frictionFrom, mix } from './physics/mixing-heat.ts';
import { FRICTION_BY_MIXER } from './kitchen.ts';
import { mixingOf } from './fermentation.ts';

/** What a mixer was found to do: F of the bakers' rule, °C, as a mean of so many doughs. */
export type Learnt = NonNullable<PlanSettings['learntFriction']>;

/** Doughs that the mean goes back to: hands and mixers change. */
const MAX_DOUGHS = 5;
/** A friction so far out of the mixer's common range, °C, is a wrong thermometer or other water than planned. */
const OUTLIER_CELSIUS = 12;

/**
 * The friction learnt with one more dough, found at `foundC` after kneading with the water and ice of its plan; null
 * where that is no friction that such a mixer has, so that nothing is learnt of it.
 */
export function learnFriction(settings: PlanSettings, foundC: number, before: Learnt | null): Learnt | null {
  const mixing = mixingOf(settings);
  const found = frictionFrom(foundC, mixing, mix(mixing, settings.doughC));
  const [low, high] = FRICTION_BY_MIXER[settings.mixer].range;
  if (found < low - OUTLIER_CELSIUS || found > high + OUTLIER_CELSIUS) return null;
  const weight = Math.min(before?.doughs ?? 0, MAX_DOUGHS - 1);
  const mean = ((before?.frictionC ?? 0) * weight + found) / (weight + 1);
  return { frictionC: Math.min(25, Math.max(0, mean)), doughs: (before?.doughs ?? 0) + 1 };
}
