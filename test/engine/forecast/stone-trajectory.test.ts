import { expect, test } from 'vitest';
import { presentTrajectory } from '../../../server/engine/forecast/stone-trajectory.ts';
import { STEP_SECONDS } from '../../../server/engine/heat/heat-history.ts';
import { engine } from '../../../server/engine/cook-engine.ts';
import { factsOf } from '../../../server/engine/estimate/facts.ts';
import { ANY_GRILL, PARAMETER_COUNT } from '../../../server/engine/heat/parameters.ts';
import { MODEL_VERSION } from '../../../server/engine/grill-prior.ts';
import type { GrillPrior } from '../../../shared/engine.ts';
import { CONFIG } from '../evening.ts';

/** Convection from the dome alone, with this time constant, s; surface and bulk nearly at one; known for certain. */
const TAU = 12_000;
function certain(): GrillPrior {
  const mean = [-Math.log(TAU), -30, -30, Math.log(0.02), Math.log(900), Math.log(900), 0, 0, -7];
  const values: Record<string, number> = {};
  for (let i = 0; i < PARAMETER_COUNT; i++) {
    values[`m${i}`] = mean[i] ?? 0;
    for (let j = 0; j <= i; j++) values[`r${i}.${j}`] = i === j ? 1e-6 : 0;
  }
  return { version: MODEL_VERSION, cooks: 3, values };
}

/** A stone of known τ at `from`, °C, under a dome that stays at `towards`, moving just as its model says. */
function courseOf(from: number, towards: number): number[] {
  const state = engine.start({ ...CONFIG, prior: certain() });
  const at = (t: number): number => towards - (towards - from) * Math.exp(-(t - 600) / TAU);
  for (let t = 0; t <= 600; t += 1) {
    engine.step(state, { kind: 'reading', t, channel: 'dome', celsius: towards, quality: 'good' });
    engine.step(state, { kind: 'reading', t, channel: 'stone', celsius: at(t), quality: 'good' });
  }
  return presentTrajectory(state, factsOf(state, 600))?.stone ?? [];
}

test.each([
  [200, 300],
  [240, 290],
  [280, 220],
])('from %i °C towards %i °C: T(t) = T∞ − (T∞ − T₀)·e^(−t/τ)', (from, towards) => {
  expect(ANY_GRILL.mean).toHaveLength(PARAMETER_COUNT);
  const course = courseOf(from, towards);
  for (const s of [300, 600, 1200]) {
    const exact = towards - (towards - from) * Math.exp(-s / TAU);
    expect(Math.abs((course[s / STEP_SECONDS] ?? 0) - exact)).toBeLessThan(1);
  }
});

test('what lies beyond the level it settles at is never reached', () => {
  expect(Math.max(...courseOf(240, 280))).toBeLessThan(280);
});

test('a dome that cools with its body goes on for longer than one that a fire heats', () => {
  const movedIn20Min = (perMinute: number): number => {
    const state = engine.start(CONFIG);
    for (let t = 0; t <= 900; t += 5) {
      const dome = 300 + (perMinute * t) / 60;
      engine.step(state, { kind: 'reading', t, channel: 'dome', celsius: dome, quality: 'good' });
      engine.step(state, { kind: 'reading', t, channel: 'stone', celsius: 290, quality: 'good' });
    }
    const { dome = [] } = presentTrajectory(state, factsOf(state, 900)) ?? {};
    return ((dome.at(-1) ?? NaN) - (dome[0] ?? NaN)) / perMinute;
  };
  // τ·(1 − e^(−20 min/τ)): 12.6 min with 20 min, 8.6 min with 10 min
  expect(movedIn20Min(-2)).toBeCloseTo(12.6, 0);
  expect(movedIn20Min(2)).toBeCloseTo(8.6, 0);
});
