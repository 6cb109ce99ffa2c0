import { LEARNING_VARIANCE } from '../../../server/engine/grill-prior.ts';
import {
  HIDDEN_LAUNCH_SHARE,
  LID_OFF_TIME,
  LID_LAUNCH_PROBABILITY,
  UNSEEN_LAUNCH_RATE,
} from '../../../server/engine/detect/odds.ts';
import { CORRECTION_SPREAD } from '../../../server/engine/heat/tracker.ts';
import { LIKELY_READY } from '../../../server/engine/stone-state.ts';
import type { Looking } from '../looks.ts';
import { SPREAD_FACTOR } from '../../../server/engine/forecast/ready-time.ts';
import { latenessOf } from './lateness.ts';
import { readinessOf } from './readiness.ts';
import { learningOf } from './learning.ts';

/**
 * What is tried: the members of an object that the engine reads, a list of values each, and what it costs with the values as
 * they are over `count` cooks or grills of the half to tune on, less being better.
 */
export type Tuned = {
  of: Record<string, number>;
  values: Record<string, readonly number[]>;
  cost: (count: number) => () => number;
};

const LOOKS: readonly Looking[] = [
  { every: 300, dial: false },
  { every: 300, dial: true },
];

export const CONSTANTS: Record<string, Tuned> = {
  likely: {
    of: LIKELY_READY,
    values: {
      enters: [0.35, 0.4, 0.5],
      stays: [0.2, 0.3],
      settled: [2, 3, 4],
      freed: [2.5, 3.5, 5],
    },
    cost: (count) => readinessOf(LOOKS, count),
  },
  leans: {
    of: CORRECTION_SPREAD,
    values: { share: [0.4, 0.8, 1.1] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  lids: {
    of: LID_LAUNCH_PROBABILITY,
    values: { ready: [0.65, 0.8, 0.9], right: [0.5, 0.6, 0.7] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  offs: {
    of: LID_OFF_TIME,
    values: { share: [0.62, 0.7, 0.74], turned: [0.45, 0.55], spread: [25, 35] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  hidden: {
    of: HIDDEN_LAUNCH_SHARE,
    values: { before: [0.25, 0.5, 1], faint: [0.25, 0.6, 1] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  unseen: {
    of: UNSEEN_LAUNCH_RATE,
    values: { right: [1 / 900, 1 / 500], missed: [0.1, 0.25, 0.5] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  ranges: {
    of: SPREAD_FACTOR,
    values: { measured: [1, 1.2, 1.4, 1.6], estimated: [1, 1.4, 1.9, 2.4] },
    cost: (count) => latenessOf([null, { every: 300, dial: false }], count),
  },
  learns: {
    of: LEARNING_VARIANCE,
    values: { variance: [2, 8, 25], daily: [0.15, 0.25, 0.4] },
    cost: learningOf,
  },
};
