import type { Outcome, WhatIf } from '../../../shared/engine.ts';
import { domeIfShut } from '../advice/response.ts';
import type { EngineState } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { driveOf, stepHeat } from '../heat/grill-fit.ts';
import { STEP_SECONDS } from '../heat/heat-history.ts';
import { copyOfHeat } from '../heat/model.ts';
import { LOOKAHEAD_STEPS, type Trajectory } from './stone-trajectory.ts';

/**
 * Where the stone goes by what is done with the fire now, by the heat model at what is most likely: left as it is, the vents
 * shut now or later, the dome held somewhere. What a vent does to the dome is the adviser's own estimate (response.ts).
 */

/** A person who is told now can be later by so much, min. */
const LATER_MINUTES = 4;
/** The latest moment at which shutting is looked at, min, and how fine. */
const LATEST_MINUTES = 12;
/** A dome that is to be held elsewhere is there by a factor of e in so long, min. */
const DOME_TAU_MINUTES = 5;
/** Domes that are looked at: around the stone's band, so far below and above, in steps, °C. */
const HELD_DOMES_CELSIUS = { below: 40, above: 60, step: 20 };
const MAX_RATE_PER_MINUTE = 15;

type DomeAt = (minutes: number) => number;

/** @param above what counts as leaving the band upward, °C */
function outcomeOf(values: readonly number[], t: number, low: number, high: number): Outcome {
  const first = (is: (value: number) => boolean): number | null => {
    const i = values.findIndex(is);
    return i < 0 ? null : t + i * STEP_SECONDS;
  };
  let best = 0;
  values.forEach((value, i) => {
    if (value > (values[best] ?? 0)) best = i;
  });
  return {
    highest: { celsius: values[best] ?? 0, at: t + best * STEP_SECONDS },
    bandAt: (values[0] ?? 0) >= low ? null : first((value) => value >= low),
    overAt: first((value) => value > high),
    ends: values.at(-1) ?? 0,
  };
}

/** @returns null where the model follows no stone, or nobody knows the dome */
export function whatIf(state: EngineState, facts: Facts, trajectory: Trajectory | null): WhatIf | null {
  const { t, stone, dome, low, high } = facts;
  const { members, history } = state.tracker;
  const [most] = members;
  if (!stone?.isFresh || !dome || !most || !history || !trajectory || state.onStone.length > 0) return null;
  // Air that comes back after a lid comes back no faster than its trajectory says, whatever its rate is now.
  const foreseen = (trajectory.dome[60 / STEP_SECONDS] ?? Infinity) - (trajectory.dome[0] ?? dome.celsius);
  const measured = dome.perMinute > 0 ? Math.min(dome.perMinute, foreseen) : dome.perMinute;
  const perMinute = Math.max(-MAX_RATE_PER_MINUTE, Math.min(MAX_RATE_PER_MINUTE, measured));
  const under = (domeAt: DomeAt): number[] => {
    // the surface is where it is measured, and the bulk with it
    const off = stone.celsius - most.heat.surface;
    const heat = copyOfHeat(most.heat);
    heat.surface = stone.celsius;
    heat.bulk = most.heat.bulk + off;
    const values = [heat.surface];
    for (let i = 0; i < LOOKAHEAD_STEPS; i++) {
      stepHeat(heat, most.p, driveOf(domeAt((i * STEP_SECONDS) / 60), 0, history.ground));
      values.push(heat.surface);
    }
    return values;
  };
  const shutNow: DomeAt = (m) => domeIfShut(dome.celsius, perMinute, m);
  // The course may level out sooner than a dome that is shut now; less air never makes it hotter.
  const asItIs: DomeAt = (m) =>
    Math.max(
      shutNow(m),
      trajectory.dome[Math.min(LOOKAHEAD_STEPS, Math.round((60 * m) / STEP_SECONDS))] ?? dome.celsius,
    );
  const shutAfter = (delay: number): Outcome => {
    if (delay === 0) return outcome(shutNow);
    const then = asItIs(delay);
    const rate = then - asItIs(delay - 1);
    return outcome((m) => (m < delay ? asItIs(m) : Math.max(shutNow(m), domeIfShut(then, rate, m - delay))));
  };
  const outcome = (domeAt: DomeAt): Outcome => outcomeOf(under(domeAt), t, low, high);
  const shut = shutAfter(0);
  const left = outcome(asItIs);
  const held: WhatIf['held'] = [];
  for (
    let to = step(low - HELD_DOMES_CELSIUS.below);
    to <= high + HELD_DOMES_CELSIUS.above;
    to += HELD_DOMES_CELSIUS.step
  )
    held.push({ dome: to, ...outcome((m) => to + (dome.celsius - to) * Math.exp(-m / DOME_TAU_MINUTES)) });
  return {
    asItIs: left,
    shut,
    shutLater: { minutes: LATER_MINUTES, ...shutAfter(LATER_MINUTES) },
    until: left.overAt === null || shut.overAt !== null ? null : latest(shutAfter),
    held,
  };
}

const step = (celsius: number): number =>
  HELD_DOMES_CELSIUS.step * Math.round(celsius / HELD_DOMES_CELSIUS.step);

/** How many minutes from now shutting the vents is still enough. */
function latest(shutAfter: (delay: number) => Outcome): number {
  let minutes = 0;
  while (minutes < LATEST_MINUTES && shutAfter(minutes + 1).overAt === null) minutes += 1;
  return minutes;
}
