import { describe, expect, it } from 'vitest';
import { cook, situation, vents } from './situations.ts';
import { hazards } from '../../../server/evening/hazards/hazards.ts';
import { lidHazard } from '../../../server/evening/hazards/lid-hazard.ts';
import { SHUT_BEFORE } from '../../../server/evening/hazards/vent-state.ts';
import type { CookSituation, Situation } from '../../../server/evening/hazards/situation.ts';

const ids = (over: Partial<Situation>): string[] => hazards(situation(over)).map(({ id }) => id);
const inCook = (over: Partial<CookSituation>): string[] => ids({ cook: cook(over) });

describe('a lid over a fire without air', () => {
  const shut = vents({ position: 'nearly-shut', since: 3000, statedAt: 3000 });
  const raised = [{ alert: 'overshot', raisedAt: 3500 }] as const;
  it.each<[string, Partial<CookSituation>]>([
    ['vents said to be nearly shut', { vents: shut }],
    ['vents said to be shut an hour ago', { vents: vents({ position: 'shut', since: 0, statedAt: 0 }) }],
    ['vents opened half a minute ago', { vents: vents({ position: 'open', since: 3570, before: 'shut' }) }],
    [
      'low vents and a dome that fell, before a lid upset it',
      { vents: vents({ position: 'low' }), calm: { t: 3400, perMinute: -4 }, domePerMinute: 9 },
    ],
    ['an alert that asks to close down', { alerts: raised }],
    ['the same, with a dome that is not known', { alerts: raised, dome: null }],
    [
      'vents said to be open before the alert',
      { alerts: raised, vents: vents({ position: 'open', statedAt: 10 }) },
    ],
  ])('is dangerous: %s', (_name, over) => {
    expect(lidHazard(cook(over))?.text).toMatch(/open the vents, wait 10 s, lift it a hand's breadth/);
    expect(inCook(over)[0]).toBe('lid-hot-starved');
  });
  it.each<[string, Partial<CookSituation>]>([
    ['nothing is known of the vents', {}],
    ['the lid is open already', { vents: shut, lidOpen: true }],
    ['the dome is cool', { vents: shut, dome: 120 }],
    ['vents opened two minutes ago', { vents: vents({ position: 'half', since: 3480, before: 'shut' }) }],
    [
      'vents opened to a slit since the dome fell',
      {
        vents: vents({ position: 'low', since: 3500, before: 'nearly-shut' }),
        calm: { t: 3400, perMinute: -4 },
      },
    ],
    ['low vents and a steady dome', { vents: vents({ position: 'low' }) }],
    [
      'low vents and a dome that fell when the lid was up',
      { vents: vents({ position: 'low' }), domePerMinute: -9 },
    ],
    [
      'vents said to be open since the alert',
      { alerts: raised, vents: vents({ position: 'open', statedAt: 3550 }) },
    ],
    ['an alert that asks for air', { alerts: [{ alert: 'fire-fading', raisedAt: 3000 }] }],
  ])('is not: %s', (_name, over) => {
    expect(lidHazard(cook(over))).toBeNull();
    expect(inCook(over)).not.toContain('lid-hot-starved');
  });
});

it('given coals of the cook before, nobody is quoted on vents of which nobody spoke', () => {
  const why = lidHazard(cook({ vents: SHUT_BEFORE }))?.why;
  expect(why).toMatch(/cook before/);
  expect(why).not.toMatch(/were said/);
});

describe('cautions by the moment', () => {
  it('once the last pizza is off and the vents are shut: coals outside, ash, nothing wet, before ten minutes are over', () => {
    const shut = vents({ position: 'shut', since: 3560, statedAt: 3560 });
    const ending = inCook({ vents: shut, waiting: 0, sinceLaunch: 500, sinceOff: 60 });
    expect(ending).toEqual(expect.arrayContaining(['warm-coals', 'ash', 'wet-on-hot-stone']));
    expect(inCook({ vents: shut, waiting: 1, sinceLaunch: 500, sinceOff: 60 })).not.toContain('warm-coals');
  });

  it('while the fire is lit, with a plan or without: outdoors, no fluids, place', () => {
    const lit = { state: 'cold', stone: 20, dome: 25, launched: 0, sinceLit: 60 } as const;
    expect(inCook(lit)).toEqual(['smoke', 'no-fluids', 'place']);
    expect(ids({ cook: null, steps: ['light-fire'] })).toEqual(['smoke', 'no-fluids', 'place']);
    expect(inCook({ ...lit, stone: 120, dome: 240 })).toEqual([]);
    expect(inCook({ ...lit, sinceLit: 3000 })).toEqual([]);
    // Begun long ago and not lit yet.
    expect(inCook({ ...lit, sinceLit: 3000, isSaidLit: false })).toEqual(['smoke', 'no-fluids', 'place']);
    expect(inCook({ ...lit, sinceLit: 3000, isSaidLit: false, dome: null })).toHaveLength(3);
    expect(inCook({ ...lit, sinceLit: 3000, isSaidLit: false, dome: 130 })).toEqual([]);
  });
  it('while charcoal is added or is wanted: hot stone and deflector', () => {
    expect(inCook({ sinceFuel: 10 })).toEqual(['charcoal']);
    expect(inCook({ state: 'falling' })).toEqual(['charcoal']);
    expect(ids({ steps: ['refuel'] })).toEqual(['charcoal']);
    expect(inCook({ alerts: [{ alert: 'fire-fading', raisedAt: 0 }] })).toEqual(['charcoal']);
    expect(inCook({ sinceFuel: 900 })).toEqual([]);
  });
  it("at a stone's first heat: slowly; a cold stone in a hot grill: it can crack", () => {
    const warming = { state: 'climbing', launched: 0, stone: 90, dome: 220, sinceLit: 2000 } as const;
    expect(ids({ cook: cook(warming), stoneIsNew: true })).toEqual(['first-heat']);
    expect(ids({ cook: cook({ ...warming, stone: 200 }), stoneIsNew: true })).not.toContain('first-heat');
    expect(inCook({ ...warming, stone: 40 })).toContain('stone-warms-with-fire');
  });
  it('while pizzas are made: raw toppings before all else where the plan says so, and raw flour', () => {
    expect(inCook({ hands: 'stretch' })).toEqual(['raw-meat', 'raw-flour']);
    expect(ids({ cook: null, steps: ['toppings'], rawMeat: true })).toEqual(['raw-meat', 'toppings-warm']);
    expect(ids({ cook: null, steps: ['mix'] })).toEqual(['raw-flour']);
    expect(ids({ sinceToppings: 7000 })).toEqual(['toppings-warm']);
    expect(ids({ sinceToppings: 3000 })).toEqual([]);
  });
  it('at the first launch: gloves; while one bakes: oil and fat, first of all when the dome runs away', () => {
    expect(inCook({ launched: 0 })).toEqual(['hot-surfaces']);
    expect(inCook({ onStone: 1 })).toEqual(['grease']);
    const flaring = { onStone: 1, sinceFuel: 20, domePerMinute: 40 };
    expect(inCook(flaring)).toEqual(['grease', 'charcoal']);
  });
  it('after the last pizza, and for two days: coals outside, ash when it has been cold for 48 h', () => {
    expect(inCook({ waiting: 0, launched: 6, sinceOff: 700 })).toEqual([
      'warm-coals',
      'ash',
      'wet-on-hot-stone',
    ]);
    expect(inCook({ waiting: 0, launched: 6, sinceOff: 100 })).toEqual([]);
    expect(ids({ cook: null, sinceEnd: 20 * 3600 })).toEqual(['warm-coals', 'ash']);
    expect(ids({ cook: null, sinceEnd: 50 * 3600 })).toEqual([]);
  });
  it('puts the lid over a starved fire before carbon monoxide, whatever the plan says is due', () => {
    const starved = cook({ dome: 330, state: 'hot', alerts: [{ alert: 'overshot', raisedAt: 3000 }] });
    const steps = ['light-fire', 'toppings', 'launch', 'shut-down'] as const;
    expect(ids({ cook: starved, steps })[0]).toBe('lid-hot-starved');
  });
});
