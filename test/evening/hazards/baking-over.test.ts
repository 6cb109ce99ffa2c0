import { describe, expect, it } from 'vitest';
import { isOver } from '../../../server/evening/hazards/baking-over.ts';
import type { CookSituation, Situation } from '../../../server/evening/hazards/situation.ts';
import { cook, situation, vents } from './situations.ts';

const shut = vents({ position: 'shut', since: 5000, statedAt: 5000 });

/** Three pizzas baked, the last off two minutes ago, the stone ready again. */
const baked = {
  t: 5100,
  stone: 264,
  dome: 230,
  domePerMinute: -1,
  sinceLit: 5100,
  launched: 3,
  waiting: 0,
  sinceLaunch: 570,
  sinceOff: 120,
};
const after = (over: Partial<CookSituation>, besides: Partial<Situation> = {}): boolean =>
  isOver(situation({ cook: cook({ ...baked, ...over }), ...besides }));

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
