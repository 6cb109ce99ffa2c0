import type { Situation } from './situation.ts';
import { isNarrow } from './vent-state.ts';

/** With vents all but shut and no pizza for so long, s, nobody means to bake another (ours): stones come back in less. */
const NO_PIZZA_SECONDS = 1800;

/**
 * Whether the baking is over: nothing lies on the stone, nothing waits for it, and the fire is being ended. People need
 * not list their next pizza, so that an empty run alone does not end it; vents that were shut since the last launch do.
 */
export function isOver({ cook, steps, isShutDown }: Situation): boolean {
  if (!cook || cook.launched === 0 || cook.waiting > 0 || cook.onStone > 0) return false;
  if (isShutDown || steps.includes('shut-down')) return true;
  const { position, statedAt } = cook.vents;
  const isShut = position === 'shut' && statedAt >= cook.t - (cook.sinceLaunch ?? 0);
  return isShut || (isNarrow(position) && (cook.sinceOff ?? 0) > NO_PIZZA_SECONDS);
}
