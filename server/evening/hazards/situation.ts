import type { StepName } from '../../../shared/evening/evening.ts';
import type { AlertName } from '../../../shared/alert/kinds.ts';
import type { StoneState } from '../../../shared/words.ts';
import type { VentState } from './vent-state.ts';

/** What is known at a moment; temperatures °C, times s. With no cook `cook` is null and only the plan speaks. */
export type Situation = {
  cook: CookSituation | null;
  /** Steps of the plan that are due about now. */
  steps: readonly StepName[];
  /** The plan's shutting down of the fire was done. */
  isShutDown: boolean;
  /** The plan says that raw meat goes on. */
  rawMeat: boolean;
  /** This stone was heated in no earlier cook. */
  stoneIsNew: boolean;
  /** Since the toppings were laid out, s; null: not, or not said. */
  sinceToppings: number | null;
  /** Since the last real cook ended, s; null with none. */
  sinceEnd: number | null;
};

/** How the dome went by itself, °C/min, at `t` s of the cook. */
export type CalmRate = { t: number; perMinute: number };

export type CookSituation = {
  t: number;
  state: StoneState;
  stone: number | null;
  dome: number | null;
  domePerMinute: number | null;
  /** The same when no lid had upset it last, and when that was. */
  calm: CalmRate | null;
  /** It was seen or said to be open, and not long ago. */
  lidOpen: boolean;
  /** Alerts that stand, seen or not. */
  alerts: readonly { alert: AlertName; raisedAt: number }[];
  vents: VentState;
  /** Since the fire was said to be lit; absent that, since the cook began, s. */
  sinceLit: number;
  /** The fire was said to be lit. */
  isSaidLit: boolean;
  launched: number;
  waiting: number;
  onStone: number;
  /** Since the last launch, s; null: nothing was launched. */
  sinceLaunch: number | null;
  /** Since the last pizza came off, s; null: none has. */
  sinceOff: number | null;
  /** Since charcoal was said to be added, s; null: never. */
  sinceFuel: number | null;
  /** What hands should do for the next pizza; null where nothing is asked of them. */
  hands: 'wait' | 'stretch' | 'top' | 'launch' | 'hold' | null;
};
