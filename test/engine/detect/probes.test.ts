import { expect, test } from 'vitest';
import type { EngineInput, EngineOutput } from '../../../shared/engine.ts';
import { DOME, fresh, readings, run, STONE } from '../evening.ts';

const noticed = (outputs: readonly EngineOutput[]) =>
  outputs.flatMap((output) =>
    output.type === 'noticed' && output.event.startsWith('probe')
      ? [[output.event, Math.round(output.at)]]
      : [],
  );
const STEADY = readings({ 0: 262, 900: 262 }, { 0: 320, 900: 320 });
/** From `t` on each channel says something else. */
const from = (t: number, change: (input: EngineInput) => EngineInput): EngineInput[] =>
  STEADY.map((input) => (input.t < t ? input : change(input)));

test('two probes that change places are swapped, not moved', () => {
  const swapped = from(600, (input) =>
    input.kind === 'reading' ? { ...input, channel: input.channel === 'stone' ? 'dome' : 'stone' } : input,
  );
  const found = noticed(run(fresh(), swapped));
  expect(found.map(([event]) => event)).toEqual(['probe-swapped']);
  expect(Math.abs(Number(found[0]?.[1]) - 600)).toBeLessThan(10);
});

test.each([
  ['off the stone, into the hot air', 60],
  ['out of the grill', -200],
])('a stone probe that is moved %s', (_what, by) => {
  const moved = from(600, (input) =>
    input.kind === 'reading' && input.channel === 'stone' && input.celsius !== null
      ? { ...input, celsius: input.celsius + by }
      : input,
  );
  const outputs = run(fresh(), moved);
  expect(noticed(outputs).map(([event]) => event)).toEqual(['probe-moved']);
  expect(outputs.some((output) => output.type === 'noticed' && output.event === 'launch')).toBe(false);
});

test('a pizza, a lid and a lone spike are none of these', () => {
  expect(noticed(run(fresh(), readings(STONE, DOME)))).toEqual([]);
  const spike = STEADY.map((input) =>
    input.kind === 'reading' && Math.abs(input.t - 600) < 1 ? { ...input, celsius: 480 } : input,
  );
  expect(noticed(run(fresh(), spike))).toEqual([]);
});
