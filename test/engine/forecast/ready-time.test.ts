import { expect, test } from 'vitest';
import { readyForecast } from '../../../server/engine/forecast/ready-time.ts';
import { MAX_LOOKAHEAD_STEPS, type Trajectory } from '../../../server/engine/forecast/stone-trajectory.ts';
import { STEP_SECONDS } from '../../../server/engine/heat/heat-history.ts';
import { engine } from '../../../server/engine/cook-engine.ts';
import { factsOf } from '../../../server/engine/estimate/facts.ts';
import { CONFIG } from '../evening.ts';

const [LOW, HIGH] = CONFIG.targets.stone;
const PER_MINUTE = -5;

test('a stone that falls into its band too fast to be steady: the person opens the vents, and it is ready there', () => {
  const state = engine.start(CONFIG);
  const above = HIGH + 20;
  for (let t = 0; t <= 300; t += 5) {
    const celsius = above + (PER_MINUTE * (t - 300)) / 60;
    engine.step(state, { kind: 'reading', t, channel: 'stone', celsius, quality: 'good' });
  }
  const further = Array.from(
    { length: MAX_LOOKAHEAD_STEPS + 1 },
    (_, i) => above + (PER_MINUTE * i * STEP_SECONDS) / 60,
  );
  const falling: Trajectory = {
    stone: further,
    dome: [],
    stoneError: [],
    domeError: [],
    further,
    follows: 0,
    habitual: null,
  };
  const { readyAt } = readyForecast(state, factsOf(state, 300), falling);
  const entersAt = 300 + (60 * (above - HIGH)) / -PER_MINUTE;
  const leavesAt = 300 + (60 * (above - LOW)) / -PER_MINUTE;
  expect(readyAt).not.toBeNull();
  expect(readyAt).toBeGreaterThan(entersAt);
  expect(readyAt).toBeLessThan(leavesAt + 300);
});
