import { driveOf, stepHeat, stepOn, type Tracked } from './grill-fit.ts';
import { STEP_SECONDS } from './heat-history.ts';
import { copyOfCovariance, update } from './kalman.ts';
import { copyOfHeat, type Parameters } from './model.ts';
import type { Member, Tracker } from './tracker.ts';

/**
 * The surface to come, a value each `STEP_SECONDS` s from now on: by what is most likely, °C, and as far as it was asked for further
 * than the rest; its variance, °C²; and the same with a dome that goes astray.
 */
type Projection = { surface: number[]; variance: number[]; astray: number[] };

/** What is to come: the dome `s` seconds from now, °C, how far it may stray, °C/s, and what is so (heat-history.ts). */
type Ahead = {
  dome: (s: number) => number;
  stray: number;
  hands: number;
  steps: number;
  further: number;
};

const copyOf = ({ heat, P, p }: Member): Member => ({
  heat: copyOfHeat(heat),
  P: copyOfCovariance(P),
  p,
});

/** Where the stone is now: measured, °C with one standard error, or as it is most probably; null: as it is followed. */
type From = { celsius: number; error: number } | Tracked | null;

/** The members as they stand now, moved to where the stone is. */
function membersNow({ members }: Tracker, from: From): Member[] {
  const now = members.map(copyOf);
  const [most] = members;
  if (!from || !most) return now;
  for (const { heat, P } of now) {
    if ('celsius' in from) {
      update(heat, P, from.celsius, from.error ** 2 + 0.1);
      continue;
    }
    heat.surface += from.heat.surface - most.heat.surface;
    heat.bulk += from.heat.bulk - most.heat.bulk;
    heat.extra += from.heat.extra - most.heat.extra;
    heat.pizza = from.heat.pizza;
    Object.assign(P, from.P);
  }
  return now;
}

/** All members' way under what is to come. */
export function project(
  tracker: Tracker,
  from: From,
  { dome, stray, hands, steps, further }: Ahead,
): Projection {
  const found: Projection = { surface: [], variance: [], astray: [] };
  const [most, ...others] = membersNow(tracker, from);
  if (!most) return found;
  const ground = tracker.history?.ground ?? 0;
  const hot = copyOfHeat(most.heat);
  for (let i = 0; i <= further; i++) {
    if (i <= steps) {
      let variance = most.P.ss;
      for (const { heat } of others) variance += (heat.surface - most.heat.surface) ** 2;
      found.variance.push(variance);
      found.astray.push(hot.surface);
    }
    found.surface.push(most.heat.surface);
    const s = i * STEP_SECONDS;
    const drive = driveOf(dome(s), hands, ground);
    if (i >= steps) {
      stepHeat(most.heat, most.p, drive);
      continue;
    }
    stepOn(most, most.p, drive, hands);
    for (const { heat, p } of others) stepHeat(heat, p, drive);
    drive.dome += stray * s;
    stepHeat(hot, most.p, drive);
  }
  return found;
}

/** The surface to come, by what is most likely, under a dome that answers the stone, °C each `STEP_SECONDS` s. */
export function courseUnder(
  tracker: Tracker,
  from: From,
  dome: (stone: number) => number,
  steps: number,
): number[] {
  const [most] = membersNow(tracker, from);
  const ground = tracker.history?.ground ?? 0;
  const found: number[] = [];
  if (!most) return found;
  for (let i = 0; i <= steps; i++) {
    found.push(most.heat.surface);
    stepHeat(most.heat, most.p, driveOf(dome(most.heat.surface), 0, ground));
  }
  return found;
}

/** Conductance over heat capacity by which a warm stone follows what is around it, 1/s. */
export const followsBy = ({ a, r, b }: Parameters): number => a + r + b;
