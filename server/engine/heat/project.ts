import { driveOf, stepHeat, stepOn } from './grill-fit.ts';
import { STEP } from './heat-history.ts';
import { update } from './kalman.ts';
import type { Parameters } from './model.ts';
import type { Member, Tracker } from './tracker.ts';

/**
 * The surface to come, a value each `STEP` s from now on: by what is most likely, °C, and as far as it was asked for further
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

const copyOf = ({ heat, P, p }: Member): Member => ({ heat: { ...heat }, P: { ...P }, p });

/** The members as they stand now; where the surface is measured, from that: `error` is its standard error, °C. */
function membersNow({ members }: Tracker, measured: { celsius: number; error: number } | null): Member[] {
  const now = members.map(copyOf);
  if (measured) for (const { heat, P } of now) update(heat, P, measured.celsius, measured.error ** 2 + 0.1);
  return now;
}

/** All members' way under what is to come. */
export function project(
  tracker: Tracker,
  measured: { celsius: number; error: number } | null,
  { dome, stray, hands, steps, further }: Ahead,
): Projection {
  const found: Projection = { surface: [], variance: [], astray: [] };
  const [most, ...others] = membersNow(tracker, measured);
  if (!most) return found;
  const ground = tracker.history?.ground ?? 0;
  const hot = { ...most.heat };
  for (let i = 0; i <= further; i++) {
    if (i <= steps) {
      let variance = most.P.ss;
      for (const { heat } of others) variance += (heat.surface - most.heat.surface) ** 2;
      found.variance.push(variance);
      found.astray.push(hot.surface);
    }
    found.surface.push(most.heat.surface);
    const s = i * STEP;
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

/** Conductance over heat capacity by which a warm stone follows what is around it, 1/s. */
export const followsBy = ({ a, r, b }: Parameters): number => a + r + b;
