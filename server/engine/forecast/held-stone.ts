import type { Band, GrillPrior, StoneAhead } from '../../../shared/engine.ts';
import { MILD_DAY_CELSIUS, settled } from '../grill-figures.ts';
import { beliefOf } from '../grill-prior.ts';
import { parametersOf, USUAL_GRILL } from '../heat/parameters.ts';
import { stoneFrom } from './run-ahead.ts';

/**
 * The stone of an evening to come, from t = 0 on: in the middle of its band under the dome that holds it there, of the grill as
 * cooks taught it, or of a usual one.
 */
export function heldStone(prior: GrillPrior | null, band: Band): StoneAhead {
  const p = parametersOf((beliefOf(prior) ?? USUAL_GRILL).mean);
  const middle = (band[0] + band[1]) / 2;
  const at = settled(p, middle).surface;
  // Radiation bends the line a little: one secant step is right to a degree.
  const slope = (settled(p, middle + 10).surface - at) / 10;
  const dome = middle + (middle - at) / slope;
  const heat = settled(p, dome);
  return stoneFrom({ p, ground: MILD_DAY_CELSIUS, band, domeAt: () => dome }, { t: 0, heat, moves: [] });
}
