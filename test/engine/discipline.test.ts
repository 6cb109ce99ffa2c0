import { expect, test } from 'vitest';
import type { EngineOutput } from '../../shared/engine.ts';
import { engine } from '../../server/engine/cook-engine.ts';
import { alertsOf, fresh, readings, run, statesOf, tap } from './evening.ts';

/** A stone that is held in its band, and a dome above it. */
const HELD = readings({ 0: 262, 900: 262 }, { 0: 270, 900: 270 });

test('what a person says is told with it, not at the next reading', () => {
  const state = fresh();
  run(
    state,
    HELD.filter(({ t }) => t < 600),
  );
  expect(engine.view(state).state).toBe('ready');
  expect(statesOf(run(state, [tap(600.1, { event: 'launch', id: 'a' })]))).toEqual(['baking']);
  expect(statesOf(run(state, [tap(600.2, { event: 'undo', of: 'a' })]))).toEqual(['ready']);
  expect(statesOf(run(state, [tap(600.3, { event: 'launch', id: 'b' })]))).toEqual(['baking']);
  expect(statesOf(run(state, [tap(600.4, { event: 'off', id: 'c' })]))).toEqual(['ready']);
  expect(statesOf(run(state, [tap(600.5, { event: 'undo', of: 'c' })]))).toEqual(['baking']);
  run(state, [tap(600.6, { event: 'off' })]);
  expect(statesOf(run(state, [tap(600.7, { event: 'targets', id: 'd', stone: [200, 230] })]))).toEqual([
    'hot',
  ]);
  expect(statesOf(run(state, [tap(600.8, { event: 'undo', of: 'd' })]))).toEqual(['ready']);
});

test('a lid tapped open by mistake is shut by its undo, and is not left open', () => {
  const state = fresh();
  run(
    state,
    HELD.filter(({ t }) => t < 600),
  );
  run(state, [tap(600.1, { event: 'lid-open', id: 'x' })]);
  expect(engine.view(state).lidOpen).toBe(true);
  run(state, [tap(601, { event: 'undo', of: 'x' })]);
  expect(engine.view(state).lidOpen).toBe(false);
  expect(
    alertsOf(
      run(
        state,
        HELD.filter(({ t }) => t > 601),
      ),
    ),
  ).not.toContain('lid-left-open');
});

test('blind takes three reporting intervals where those are longer than 20 s', () => {
  const slow = readings({ 0: 260, 300: 260 }, null, { every: 10, noise: 0.1, seed: 2 });
  const outputs = run(fresh(), [...slow, { kind: 'tick', t: 360 }]);
  const blind = outputs.find((output) => output.type === 'state' && output.state === 'blind');
  expect(blind?.t).toBeGreaterThan(329);
  expect(blind?.t).toBeLessThanOrEqual(332);
});

test('while a pizza covers the probe or the lid is up, the stone raises nothing', () => {
  const cooling = readings({ 0: 262, 600: 262, 630: 225, 1100: 215 }, null);
  const quiet = run(
    fresh(),
    [...cooling, tap(602, { event: 'launch', id: 'a', offAfter: 1200, turnAfter: 1100 })].sort(
      (a, b) => a.t - b.t,
    ),
  );
  expect(alertsOf(quiet)).not.toContain('fire-fading');
  const lidUp = readings({ 0: 262, 600: 262, 700: 300, 720: 300 }, null);
  const open = [...lidUp, tap(601, { event: 'lid-open' })].sort((a, b) => a.t - b.t);
  expect(alertsOf(run(fresh(), open))).not.toContain('overshot');
  // the same with the lid shut does
  expect(alertsOf(run(fresh(), lidUp))).toContain('overshot');
});

test('one alert for one thing: an urgent one that nobody sees sounds again, an acknowledged one does not', () => {
  const hot = readings({ 0: 200, 900: 200 }, { 0: 300, 60: 300, 120: 400, 900: 400 });
  const tooHot = (outputs: readonly EngineOutput[]) =>
    outputs.flatMap((output) =>
      output.type === 'alert' && output.alert === 'dome-too-hot' ? [output.again ?? 0] : [],
    );
  expect(tooHot(run(fresh(), hot))).toEqual([0, 1]);
  const seen = [...hot, tap(200, { event: 'acknowledge', alert: 'dome-too-hot' })].sort((a, b) => a.t - b.t);
  expect(tooHot(run(fresh(), seen))).toEqual([0]);
});
