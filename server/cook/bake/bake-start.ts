import type { StoneSetup } from '../../../shared/evening/evening.ts';
import { DEFAULT_TARGETS, type Band } from '../../../shared/engine.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { startBake, stepBake, type AtLaunch, type Bake, type Start } from '../../evening/bake/bake.ts';
import { halfInfiniteSeconds } from '../../evening/bake/bake-speed.ts';
import type { Store } from '../../store/store.ts';
import type { VerdictHistory } from './verdict-history.ts';
import { curveOf } from '../history/pizza-review.ts';
import type { RunningCook } from '../live/running.ts';

type Point = { t: number; celsius: number };

/** Looked back over for a probe that reads all the time, s before the launch: a lid is up at the last of it. */
const LOOK_BACK = { stone: [60, 0], dome: [150, 20] } as const;
/** A reading is relied on wholly up to this age, s, and not at all at the other: between them less and less. */
const AGE_SECONDS = { fresh: 60, stale: 600 };
/** Nearer than this to the middle of the stone's band is as good as there, °C. */
const STONE_TOLERANCE_CELSIUS = 2;
/** A dome whose lid was up may be so far below its band, °C, before anybody has seen what is usual (our own choice). */
const DOME_ALLOWANCE_CELSIUS = 40;

/** Which stone lies in the grill, as its launches are kept under. */
export const stoneKey = ({ name, material, thicknessMm }: StoneSetup): string =>
  [name, material, `${thicknessMm} mm`].filter(Boolean).join(' ');

const middle = ([low, high]: Band): number => (low + high) / 2;

/** How it stood before the launch: the median of what was read shortly before it, else the last reading, trusted by its age. */
function atLaunch(
  points: readonly Point[],
  launchedAt: number,
  [from, to]: readonly [number, number],
): AtLaunch | null {
  const near = points
    .filter(({ t }) => t >= launchedAt - from && t <= launchedAt - to)
    .map(({ celsius }) => celsius)
    .sort((a, b) => a - b);
  const median = near[near.length >> 1];
  if (median !== undefined) return { celsius: median, weight: 1 };
  const last = points.findLast(({ t }) => t <= launchedAt);
  if (!last) return null;
  const weight = 1 - (launchedAt - last.t - AGE_SECONDS.fresh) / (AGE_SECONDS.stale - AGE_SECONDS.fresh);
  return weight <= 0 ? null : { celsius: last.celsius, weight: Math.min(1, weight) };
}

/** The dome's band where it is the person's: the shipped one says nothing of a stone that was set otherwise. */
function domeBand({ targets }: RunningCook): Band | null {
  const { stone, dome } = targets;
  const same = (a: Band | undefined, b: Band | undefined): boolean => a?.[0] === b?.[0] && a?.[1] === b?.[1];
  if (!dome) return null;
  return same(dome, DEFAULT_TARGETS.dome) && stone && !same(stone, DEFAULT_TARGETS.stone) ? null : dome;
}

/** A bake from its launch on, by what is kept of it: after a restart or a late tap nothing is lost. */
export function bakeFrom(
  store: Store,
  verdicts: VerdictHistory,
  cook: RunningCook,
  pizza: Pizza,
  setup: StoneSetup,
  t: number,
): Bake {
  const launchedAt = pizza.launchedAt ?? 0;
  const from = Math.round(cook.startedAt + (launchedAt - AGE_SECONDS.stale) * 1000);
  // A recording may be played on by an hour at once: what came after is not read.
  const readings = store.readings(cook.id, { from, to: Math.round(cook.startedAt + t * 1000) });
  const stone = curveOf(readings, cook.header, 'stone');
  const dome = curveOf(readings, cook.header, 'dome');
  const usual = verdicts.usual(cook, stoneKey(setup));
  const band = domeBand(cook);
  const base: Start = {
    reference: middle(cook.targets.stone ?? DEFAULT_TARGETS.stone),
    tolerance: STONE_TOLERANCE_CELSIUS,
    allowance: null,
    launch: atLaunch(stone, launchedAt, LOOK_BACK.stone),
    usual: usual.stone,
  };
  const top: Start = {
    reference: band && middle(band),
    tolerance: band ? (band[1] - band[0]) / 2 : 0,
    allowance: DOME_ALLOWANCE_CELSIUS,
    launch: atLaunch(dome, launchedAt, LOOK_BACK.dome),
    usual: usual.dome,
  };
  let bake = startBake(launchedAt, halfInfiniteSeconds(setup), base, top);
  const after = [
    ...stone.map((point) => ({ ...point, of: 'stone' })),
    ...dome.map((point) => ({ ...point, of: 'dome' })),
  ].filter((point) => point.t > launchedAt && point.t <= t);
  for (const { t: at, celsius, of } of after.sort((a, b) => a.t - b.t))
    bake = stepBake(bake, at, of === 'stone' ? celsius : null, of === 'dome' ? celsius : null);
  return bake;
}
