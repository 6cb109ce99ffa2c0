import type { CookSituation, Situation } from '../../../server/evening/hazards/situation.ts';
import { UNKNOWN_VENTS, type VentState } from '../../../server/evening/hazards/vent-state.ts';

/** An hour in, stone ready, nothing wrong, six pizzas waiting. */
export const cook = (over: Partial<CookSituation> = {}): CookSituation => ({
  t: 3600,
  state: 'ready',
  stone: 270,
  dome: 255,
  domePerMinute: 0,
  calm: { t: 3600, perMinute: 0 },
  lidOpen: false,
  alerts: [],
  vents: UNKNOWN_VENTS,
  sinceLit: 3600,
  isSaidLit: true,
  launched: 1,
  waiting: 6,
  onStone: 0,
  sinceLaunch: null,
  sinceOff: null,
  sinceFuel: null,
  hands: null,
  ...over,
});
export const situation = (over: Partial<Situation> = {}): Situation => ({
  cook: cook(),
  steps: [],
  isShutDown: false,
  rawMeat: false,
  stoneIsNew: false,
  sinceToppings: null,
  sinceEnd: null,
  ...over,
});
export const vents = (over: Partial<VentState>): VentState => ({ ...UNKNOWN_VENTS, ...over });
