import { describe, expect, it } from 'vitest';
import { isOver } from '../../../server/evening/hazards/baking-over.ts';
import type { CookSituation, Situation } from '../../../server/evening/hazards/situation.ts';
import { UNKNOWN_VENTS, type VentState } from '../../../server/evening/hazards/vent-state.ts';

const vents = (over: Partial<VentState>): VentState => ({ ...UNKNOWN_VENTS, ...over });
const shut = vents({ position: 'shut', since: 5000, statedAt: 5000 });

/** Three pizzas baked, the last off two minutes ago, the stone ready again. */
const after = (cook: Partial<CookSituation>, over: Partial<Situation> = {}): boolean =>
  isOver({
    cook: {
      t: 5100,
      state: 'ready',
      stone: 264,
      dome: 230,
      domePerMinute: -1,
      lidOpen: false,
      sinceLid: 120,
      alerts: [],
      vents: UNKNOWN_VENTS,
      sinceLit: 5100,
      launched: 3,
      waiting: 0,
      onStone: 0,
      sinceLaunch: 570,
      sinceOff: 120,
      sinceFuel: null,
      hands: null,
      ...cook,
    },
    steps: [],
    isShutDown: false,
    rawMeat: false,
    stoneIsNew: false,
    sinceToppings: null,
    sinceEnd: null,
    ...over,
  });

describe('given the last pizza off', () => {
  it('with the vents shut, or the plan at its shutting down, the baking is over', () => {
    expect(after({ vents: shut })).toBe(true);
    expect(after({}, { steps: ['shut-down'] })).toBe(true);
    expect(after({}, { isShutDown: true })).toBe(true);
    const narrow = vents({ position: 'nearly-shut', since: 4000, statedAt: 4000 });
    expect(after({ vents: narrow, sinceOff: 1900, sinceLaunch: 2300 })).toBe(true);
    expect(after({ vents: narrow, sinceOff: 700 })).toBe(false);
  });

  it('with vents that are open or not known, another one may come', () => {
    expect(after({})).toBe(false);
    expect(after({ sinceOff: 3000 })).toBe(false);
    expect(after({ vents: vents({ position: 'low', since: 5000, statedAt: 5000 }) })).toBe(false);
    // Shut to tame the fire before the last launch, and left so.
    expect(after({ vents: vents({ position: 'shut', since: 3000, statedAt: 3000 }) })).toBe(false);
    // Supposed, since this cook began on the coals of another.
    expect(after({ vents: vents({ position: 'shut' }) })).toBe(false);
  });

  it('with one that waits or bakes, or none baked at all, it is not over', () => {
    expect(after({ vents: shut, waiting: 1 })).toBe(false);
    expect(after({ vents: shut, onStone: 1 })).toBe(false);
    expect(after({ vents: shut, launched: 0, sinceOff: null })).toBe(false);
    expect(after({ vents: shut, waiting: 1 }, { isShutDown: true })).toBe(false);
  });
});
