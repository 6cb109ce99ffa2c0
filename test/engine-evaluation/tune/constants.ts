import { LEARNING_VARIANCE } from '../../../server/engine/grill-prior.ts';
import { DEPTH_LIKELIHOOD, LID_LIKELIHOOD } from '../../../server/engine/detect/lid-evidence.ts';
import { LAUNCH_RATE, LID_OFF_TIME, OTHER_LID_RATE } from '../../../server/engine/detect/odds.ts';
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
  launches: {
    of: LAUNCH_RATE,
    values: {
      ready: [1 / 500, 1 / 330, 1 / 250],
      right: [1 / 900, 1 / 500, 1 / 300],
      roughly: [1 / 1800, 1 / 900],
    },
    cost: (count) => readinessOf(LOOKS, count),
  },
  lids: {
    of: OTHER_LID_RATE,
    values: { bare: [1 / 2000, 1 / 1000, 1 / 600], covered: [1 / 600, 1 / 300, 1 / 200] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  dips: {
    of: LID_LIKELIHOOD,
    values: { even: [4, 5, 6], power: [1.6, 2.4, 3], least: [0.12, 0.25, 0.4], shallow: [1, 2] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  offs: {
    of: LID_OFF_TIME,
    values: { share: [0.62, 0.7, 0.74], turned: [0.45, 0.55], spread: [25, 35] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  depths: {
    of: DEPTH_LIKELIHOOD,
    values: { even: [0.3, 0.4, 0.5], power: [2, 3], least: [0.03, 0.1], most: [3, 6] },
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
