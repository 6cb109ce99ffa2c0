import type { AlertName } from '../../../shared/alert/kinds.ts';
import type { AlertCondition } from './condition.ts';
import { domeTooHot } from './conditions/dome-too-hot.ts';
import { fireFading } from './conditions/fire-fading.ts';
import { lidLeftOpen } from './conditions/lid-left-open.ts';
import { lookDue } from './conditions/look-due.ts';
import { offDue } from './conditions/off-due.ts';
import { overshootAhead } from './conditions/overshoot-ahead.ts';
import { overshot } from './conditions/overshot.ts';
import { probeDoubtful } from './conditions/probe-doubtful.ts';
import { probeLost } from './conditions/probe-lost.ts';
import { stoneReady } from './conditions/stone-ready.ts';
import { turnDue } from './conditions/turn-due.ts';

/** Of each alert when it is so, in the order in which they are looked at: first those of the cook, then of each pizza. */
export const CONDITIONS: { readonly [N in AlertName]: AlertCondition<N> } = {
  'stone-ready': stoneReady,
  'overshoot-ahead': overshootAhead,
  overshot,
  'fire-fading': fireFading,
  'lid-left-open': lidLeftOpen,
  'dome-too-hot': domeTooHot,
  'probe-lost': probeLost,
  'probe-doubtful': probeDoubtful,
  'look-due': lookDue,
  'turn-due': turnDue,
  'off-due': offDue,
};
