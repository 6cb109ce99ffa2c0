import { LEARNS } from '../../../server/engine/grill-prior.ts';
import { HIDDEN, IS_OFF, SEEN, UNSEEN } from '../../../server/engine/detect/odds.ts';
import { LEANS } from '../../../server/engine/heat/tracker.ts';
import { LIKELY } from '../../../server/engine/stone-state.ts';
import type { Looking } from '../looks.ts';
import { WIDER } from '../../../server/engine/forecast/ready-time.ts';
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
    of: LIKELY,
    values: {
      enters: [0.35, 0.4, 0.5],
      stays: [0.2, 0.3],
      settled: [2, 3, 4],
      freed: [2.5, 3.5, 5],
    },
    cost: (count) => readinessOf(LOOKS, count),
  },
  leans: { of: LEANS, values: { share: [0.4, 0.8, 1.1] }, cost: (count) => readinessOf(LOOKS, count) },
  lids: {
    of: SEEN,
    values: { ready: [0.65, 0.8, 0.9], right: [0.5, 0.6, 0.7] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  offs: {
    of: IS_OFF,
    values: { share: [0.62, 0.7, 0.74], turned: [0.45, 0.55], spread: [25, 35] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  hidden: {
    of: HIDDEN,
    values: { before: [0.25, 0.5, 1], faint: [0.25, 0.6, 1] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  unseen: {
    of: UNSEEN,
    values: { right: [1 / 900, 1 / 500], missed: [0.1, 0.25, 0.5] },
    cost: (count) => readinessOf(LOOKS, count),
  },
  ranges: {
    of: WIDER,
    values: { measured: [1, 1.2, 1.4, 1.6], estimated: [1, 1.4, 1.9, 2.4] },
    cost: (count) => latenessOf([null, { every: 300, dial: false }], count),
  },
  learns: { of: LEARNS, values: { variance: [2, 8, 25], daily: [0.15, 0.25, 0.4] }, cost: learningOf },
};
