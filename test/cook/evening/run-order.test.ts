import { describe, expect, it } from 'vitest';
import { nextLaunch } from '../../../server/cook/evening/next-launch.ts';

import { engine } from '../../../server/engine/cook-engine.ts';
import { DEFAULT_TARGETS, type EngineView } from '../../../shared/engine.ts';
import { CONFIG } from '../../engine/evening.ts';

const view = (over: Partial<EngineView>): EngineView => ({ ...engine.view(engine.start(CONFIG)), ...over });
const lying = (offAt: number) => ({ pizza: 'a', launchedAt: 0, turnAt: null, offAt });

describe('when the next pizza can go on', () => {
  it('given a pizza on the stone, is after its off and the time that a stone takes to come back', () => {
    expect(nextLaunch(view({ onStone: [lying(3950)] }), 3600, DEFAULT_TARGETS.stone)).toBe(3950 + 300);
    expect(nextLaunch(view({ onStone: [lying(3500)] }), 3600, DEFAULT_TARGETS.stone)).toBe(3600 + 300);
  });

  it('given a stone that is ready, is since it became so', () => {
    expect(nextLaunch(view({ state: 'ready', since: 3500 }), 3600, DEFAULT_TARGETS.stone)).toBe(3500);
  });

  it('given a pizza that is off before its turn would be due, asks for no turn', () => {
    const state = engine.start(CONFIG);
    const event = { event: 'launch', pizza: 'a', turnAfter: 90, offAfter: 60 } as const;
    engine.step(state, { kind: 'event', t: 10, event });
    expect(engine.view(state).onStone[0]).toMatchObject({ turnAt: null, offAt: 70 });
  });

  it('given no pizza and no forecast, is not known', () => {
    expect(nextLaunch(view({ state: 'climbing', forecast: null }), 3600, DEFAULT_TARGETS.stone)).toBeNull();
  });
});
