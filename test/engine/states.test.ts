import { expect, test } from 'vitest';
import type { EngineInput, EngineOutput } from '../../shared/engine.ts';
import { engine, type EngineState } from '../../server/engine/cook-engine.ts';
import {
  alertsOf,
  DOME,
  endOf,
  fresh,
  noticedAt,
  readings,
  run,
  STONE,
  statesOf,
  tap,
  type Corners,
} from './evening.ts';

/** The states that a stone goes through, in a line; band 255 to 285 °C, a dome that does nothing odd. */
const statesUnder = (stone: Corners): string =>
  statesOf(run(fresh(), readings(stone, { 0: 240, [endOf(stone)]: 240 }))).join(' ');

test.each<[string, Corners, string]>([
  ['cold stone that stays cold', { 0: 20, 600: 20 }, 'cold'],
  ['climbs at 5 °C/min', { 0: 100, 1200: 200 }, 'cold climbing'],
  ['climbs into the band and settles', { 0: 200, 720: 260, 1200: 264 }, 'cold climbing soaking ready'],
  ['runs through the band', { 0: 200, 1200: 320 }, 'cold climbing soaking hot'],
  ['leaves a held band downward', { 0: 262, 600: 262, 1200: 240 }, 'soaking ready falling'],
  ['comes down into the band, steadily', { 0: 300, 1200: 270 }, 'hot ready'],
])('%s', (_what, stone, expected) => {
  expect(statesUnder(stone)).toBe(expected);
});

test('given a stone that settles just below its band, is never ready', () => {
  expect(statesUnder({ 0: 200, 600: 253.5, 1800: 254.5 })).not.toContain('ready');
});

test('given no reading for 20 s, the state is blind whoever asks', () => {
  const state = fresh();
  run(state, readings({ 0: 260, 300: 260 }, null));
  const outputs = run(state, [{ kind: 'tick', t: 330 }]);
  const blind = outputs.find((output) => output.type === 'state' && output.state === 'blind');
  expect(blind?.t).toBeGreaterThan(318);
  expect(blind?.t).toBeLessThanOrEqual(321);
  expect(engine.view(state).channels['stone']?.celsius).toBeNull();
});

test('doubtful readings raise nothing but their own alert', () => {
  const hot: EngineInput[] = Array.from({ length: 100 }, (_, i) => ({
    kind: 'reading',
    t: 300 + i,
    channel: 'stone',
    celsius: 400,
    quality: 'uncertain',
    reason: 'a test',
  }));
  const outputs = run(fresh(), [...readings({ 0: 200, 298: 200 }, null), ...hot]);
  expect(new Set(alertsOf(outputs))).toEqual(new Set(['probe-doubtful']));
});

/** The evening up to `until`, then taps, then the rest. */
function withTaps(taps: readonly EngineInput[]): { state: EngineState; outputs: EngineOutput[] } {
  const state = fresh();
  const inputs = [...readings(STONE, DOME), ...taps].sort((a, b) => a.t - b.t);
  return { state, outputs: run(state, inputs) };
}

test('a launch that was only noticed asks nothing of the person', () => {
  const { outputs } = withTaps([]);
  expect(noticedAt(outputs, 'launch')).not.toEqual([]);
  expect(alertsOf(outputs)).not.toContain('turn-due');
});

test('given a short bake, its turn is called though the lid was opened for its launch', () => {
  const { outputs } = withTaps([
    tap(1808, { event: 'launch', id: 'a', pizza: 'p1', turnAfter: 35, offAfter: 70 }),
  ]);
  const turns = outputs.filter((output) => output.type === 'alert' && output.alert === 'turn-due');
  expect(turns.map(({ t }) => Math.round(t))).toEqual([1843]);
});

test('a tapped launch: turn and off are due at its own times, and an off ends them', () => {
  const { outputs } = withTaps([
    tap(1808, { event: 'launch', id: 'a', pizza: 'p1', turnAfter: 120, offAfter: 300 }),
    tap(1960, { event: 'turn', id: 'b', pizza: 'p1' }),
    tap(2258, { event: 'off', id: 'c', pizza: 'p1' }),
  ]);
  const due = outputs.flatMap((output) =>
    output.type === 'alert' && output.pizza ? [[output.alert, Math.round(output.t)]] : [],
  );
  expect(due).toEqual([
    ['turn-due', 1928],
    ['off-due', 2108],
    ['off-due', 2228],
  ]);
});

test('the same without a turn, undone launch: nothing is due', () => {
  const { state, outputs } = withTaps([
    tap(1808, { event: 'launch', id: 'a', pizza: 'p1' }),
    tap(1830, { event: 'undo', of: 'a' }),
  ]);
  expect(alertsOf(outputs)).not.toContain('off-due');
  expect(engine.view(state).onStone).toEqual([]);
});

test('yes to a noticed launch makes it due, no takes it off', () => {
  const state = fresh();
  const outputs = run(
    state,
    readings(STONE, DOME).filter(({ t }) => t < 1850),
  );
  const [at = 0] = noticedAt(outputs, 'launch');
  expect(Math.abs(at - 1806)).toBeLessThan(15);
  run(state, [tap(1851, { event: 'answer', noticed: 'launch', at, yes: true, pizza: 'p7' })]);
  expect(engine.view(state).onStone).toMatchObject([{ pizza: 'p7', launchedAt: at }]);
  const other = fresh();
  run(
    other,
    readings(STONE, DOME).filter(({ t }) => t < 1850),
  );
  run(other, [tap(1851, { event: 'answer', noticed: 'launch', at, yes: false })]);
  expect(engine.view(other).onStone).toEqual([]);
});

test('shelved alerts are quiet, acknowledged ones stand no more once they clear', () => {
  const quiet = withTaps([tap(10, { event: 'shelve', alert: 'stone-ready', seconds: 7200 })]);
  expect(alertsOf(quiet.outputs)).not.toContain('stone-ready');
  const { state } = withTaps([tap(1790, { event: 'acknowledge', alert: 'stone-ready' })]);
  expect(
    engine.view(state).alerts.filter(({ alert, state: is }) => alert === 'stone-ready' && is === 'returned'),
  ).toEqual([]);
});

test('new targets hold at once and undo brings the old ones back', () => {
  const state = fresh();
  run(state, readings({ 0: 262, 600: 262 }, null));
  expect(engine.view(state).state).toBe('ready');
  run(state, [tap(601, { event: 'targets', id: 'x', stone: [200, 230] })]);
  run(
    state,
    readings({ 0: 262, 20: 262 }, null).map((reading) => ({ ...reading, t: reading.t + 602 })),
  );
  expect(engine.view(state).state).toBe('hot');
  run(state, [tap(623, { event: 'undo', of: 'x' })]);
  expect(state.targets.stone).toEqual([255, 285]);
});

test('every number of a message is in its why', () => {
  const { outputs } = withTaps([tap(1808, { event: 'launch', pizza: 'p1', turnAfter: 120, offAfter: 300 })]);
  for (const output of outputs) {
    if (output.type !== 'alert') continue;
    const known = Object.values(output.why).map(String).join(' ');
    for (const number of output.message.match(/\d+(?::\d+)?/g) ?? [])
      expect(`${output.alert}: ${known}`).toContain(number);
  }
});

test('given a launch that was tapped before the pizza lay there, the fall that follows is its own and no other pizza', () => {
  const { state, outputs } = withTaps([tap(1700, { event: 'launch', id: 'a', pizza: 'p1', offAfter: 450 })]);
  expect(noticedAt(outputs, 'launch')).toEqual([]);
  expect(state.onStone.length).toBeLessThanOrEqual(1);
});

test('given a stone that falls at 1.5 °C/min, it is over its band no longer than it is, within 10 s', () => {
  const outputs = run(fresh(), readings({ 0: 300, 1200: 270 }, { 0: 240, 1200: 240 }));
  const ready = outputs.find((output) => output.type === 'state' && output.state === 'ready');
  expect(Math.abs((ready?.t ?? 0) - 600)).toBeLessThan(10);
});
