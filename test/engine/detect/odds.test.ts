import { expect, test } from 'vitest';
import { lidOdds } from '../../../server/engine/detect/odds.ts';
import { startState, type EngineState } from '../../../server/engine/engine-state.ts';
import { even } from '../../../server/engine/heat/heat-history.ts';
import { bareHypothesis, type Hypothesis, type Odds } from '../../../server/engine/heat/hypotheses.ts';

const stateOf = (stone: EngineState['stone']['state']): EngineState => {
  const state = startState({ channels: [], targets: { stone: [255, 285] } });
  return { ...state, stone: { ...state.stone, state: stone } };
};
const hypothesis = (launchedAt: number | null): Hypothesis => ({
  ...bareHypothesis(
    { heat: { ...even(270), pizza: 20 }, P: { ss: 4, sb: 3, sd: 0, bb: 4, bd: 0, dd: 1e-6 } },
    [],
  ),
  launchedAt,
});
const SLOT_SECONDS = 30;
const oddsOf = (
  stone: EngineState['stone']['state'],
  launchedAt: number | null,
  ratio: number | null,
  t: number,
): Odds => lidOdds(stateOf(stone), t, SLOT_SECONDS, ratio)(hypothesis(launchedAt));

test('given a dome that is seen, on a stone that was called ready a launch is likelier than on another right one; given none, as likely', () => {
  const changes = (stone: 'ready' | 'soaking', ratio: number | null): number =>
    oddsOf(stone, null, ratio, 1000).changes;
  expect(changes('ready', 1)).toBeGreaterThan(changes('soaking', 1));
  expect(changes('ready', null)).toBe(changes('soaking', null));
  expect(changes('ready', null)).toBeGreaterThan(0);
});

test('given a pizza on the stone and no dome that is seen, only its off is judged, and grows likely with its time', () => {
  const offAfter = stateOf('baking').bake.offAfter;
  const at = (share: number): Odds => oddsOf('baking', 1000, null, 1000 + share * offAfter);
  expect(at(0.5).opens).toBe(0);
  expect(at(0.5).changes).toBeLessThan(at(1).changes / 3);
  expect(at(1).changes).toBeGreaterThan(0.1);
});
