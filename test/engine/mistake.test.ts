import { expect, it } from 'vitest';
import { engine } from '../../server/engine/cook-engine.ts';
import type { EngineInput } from '../../shared/engine.ts';
import { CONFIG, readings, run, tap } from './evening.ts';

const steady = (until: number): EngineInput[] => readings({ 0: 270, [until]: 270 }, { 0: 255, [until]: 255 });

/** States of a stone that is steady in its band, with a launch at 600 s and its off so many seconds later. */
function after(bakedFor: number) {
  const taps = [
    tap(600, { event: 'launch', id: 'a', pizza: 'p1' }),
    tap(600 + bakedFor, { event: 'off', id: 'b', pizza: 'p1' }),
  ];
  const state = engine.start(CONFIG);
  const inputs = [...steady(900), ...taps].sort((x, y) => x.t - y.t);
  run(state, inputs);
  return { state, view: engine.view(state) };
}

it('given a launch that is off again within seconds, the stone is what it was, as if nothing had been launched', () => {
  const { state, view } = after(8);
  expect(view.onStone).toEqual([]);
  expect(view.state).toBe('ready');
  expect(state.offAt).toBeNull();
});

it('given a pizza that was baked, it came off', () => {
  expect(after(120).state.offAt).toBe(720);
});
