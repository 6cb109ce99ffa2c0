import { describe, expect, it } from 'vitest';
import { nextLaunchOf, proposedRun, runNow } from '../../../server/cook/evening/run-order.ts';
import { engine, type EngineState } from '../../../server/engine/cook-engine.ts';
import type { EngineView } from '../../../shared/engine.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { unannounced } from '../../../shared/cook/run.ts';
import { CONFIG, warmUp } from '../../engine/evening.ts';
import { headerOf } from '../../support/header.ts';

const cookOf = (state: EngineState, over: Partial<EngineView>, pizzas: Pizza[] = []) => ({
  view: () => ({ ...engine.view(state), ...over }),
  ahead: () => engine.ahead(state, null),
  back: (bake: Parameters<typeof engine.back>[1]) => engine.back(state, bake),
  pizzas,
  targets: state.targets,
  header: headerOf(),
});
const cold = (over: Partial<EngineView>) => cookOf(engine.start(CONFIG), over);
const lying = (offAt: number) => ({ pizza: 'a', launchedAt: 0, turnAt: null, offAt });

const pizza = (place: number, base: number, over: Partial<Pizza> = {}): Pizza => ({
  ...unannounced(`p${place + 1}`, place, { turnAfter: null, offAfter: 420 }),
  eater: `eater ${place + 1}`,
  taste: { base, crust: 0, wetness: 0 },
  ...over,
});

describe('when the next pizza can go on', () => {
  it('given a pizza on the stone and no dome, is after its off and the time that a stone usually takes to come back', () => {
    expect(nextLaunchOf(cold({ onStone: [lying(3950)] }), 3600)).toBe(3950 + 300);
    expect(nextLaunchOf(cold({ onStone: [lying(3500)] }), 3600)).toBe(3600 + 300);
  });

  it('given a stone that is ready, is since it became so', () => {
    expect(nextLaunchOf(cold({ state: 'ready', since: 3500 }), 3600)).toBe(3500);
  });

  it('given a pizza that is off before its turn would be due, asks for no turn', () => {
    const state = engine.start(CONFIG);
    const event = { event: 'launch', pizza: 'a', turnAfter: 90, offAfter: 60 } as const;
    engine.step(state, { kind: 'event', t: 10, event });
    expect(engine.view(state).onStone[0]).toMatchObject({ turnAt: null, offAt: 70 });
  });

  it('given no pizza and no forecast, is not known', () => {
    expect(nextLaunchOf(cold({ state: 'climbing', forecast: null }), 3600)).toBeNull();
  });

  it('given a pizza on a stone that is followed, is when the model has the stone back, not before the off', () => {
    const state = warmUp(4, 1);
    engine.step(state, {
      kind: 'event',
      t: 3001,
      event: { event: 'launch', pizza: 'p1', turnAfter: null, offAfter: 420 },
    });
    const cook = cookOf(state, {}, [pizza(0, 0, { launchedAt: 3001 }), pizza(1, 0)]);
    const at = nextLaunchOf(cook, 3001);
    expect(at).toBeGreaterThanOrEqual(3001 + 420);
    expect(at).toBeLessThan(3001 + 420 + 900);
    expect(at).toBe(runNow(cook, 'C', true)?.launches[0]?.at);
  });
});

describe('the run that is foreseen', () => {
  const state = warmUp(4, 1);
  const [done, pale, brown] = [pizza(0, 0, { launchedAt: 2000, offAt: 2400 }), pizza(1, -2), pizza(2, 2)];

  it('given waiting pizzas, names each once, one after the other', () => {
    const run = runNow(cookOf(state, {}, [done, pale, brown]), 'C', true);
    expect(run?.launches.map((launch) => launch.pizza)).toEqual(['p2', 'p3']);
    const [first, second] = run?.launches ?? [];
    expect(second?.at).toBeGreaterThanOrEqual((first?.at ?? 0) + 420);
    expect(run?.lastOffAt).toBe((second?.at ?? 0) + 420);
  });

  it('given an order that is worth it, suggests the order that is proposed, and none that is not shorter', () => {
    for (const pizzas of [
      [done, pale, brown],
      [done, brown, pale],
    ]) {
      const cook = cookOf(state, {}, pizzas);
      const { order, text } = runNow(cook, 'C', true) ?? { order: null, text: null };
      if (!order) continue;
      expect(order.sooner).toBeGreaterThanOrEqual(120);
      expect(order.pizzas).toEqual(proposedRun(cook, 'C').map(({ id }) => id));
      expect(text).toMatch(/ before .*: all are out about \d+ min sooner\.$/);
    }
  });

  it('given a pizza that hands have begun on, leaves it first', () => {
    const begun = { ...brown, stage: 'topped' as const };
    expect(proposedRun(cookOf(state, {}, [done, begun, pale]), 'C')[0]?.id).toBe('p3');
    expect(proposedRun(cookOf(state, {}, [done, { ...pale, stage: 'stretched' }, brown]), 'C')[0]?.id).toBe(
      'p2',
    );
  });

  it('given a fire that is not to be driven, names no hotter dome', () => {
    expect(runNow(cookOf(state, {}, [done, pale]), 'C', false)?.dome).toBeNull();
  });
});
