import { describe, expect, test } from 'vitest';
import { cook, type CookPlan, type Truth } from './cook.ts';
import { CAREFUL } from './fixture/evenings.ts';
import type { Person } from './person/person.ts';
import { FINE_EVENING, GRILLS } from './physics/grill.ts';

const PERSON: Person = {
  ...CAREFUL,
  looksEvery: 70,
  foresight: 7,
  pizzas: 3,
  bake: 420,
  turnAt: 200,
  pause: 90,
  peeks: 1200,
};
const PLAN: CookPlan = {
  name: 'test',
  seed: 12,
  grill: GRILLS.middling,
  weather: FINE_EVENING,
  person: PERSON,
  duration: 5400,
};
const as = (habit: Person['habit'], seed = 12): Truth =>
  cook({ ...PLAN, seed, person: { ...PERSON, habit } });
const times = ({ actions }: Truth, what: string): number[] =>
  actions.flatMap((act) => (act.do === what ? [act.t] : []));

test('given the same seed, makes the same cook', () => {
  expect(JSON.stringify(cook(PLAN)) === JSON.stringify(cook(PLAN))).toBe(true);
  expect(cook({ ...PLAN, seed: 13 }).stone).not.toEqual(cook(PLAN).stone);
});

describe('a careful cook', () => {
  const truth = cook(PLAN);

  test('has a value a second, all finite, and acts in time order', () => {
    expect(truth.stone).toHaveLength(PLAN.duration);
    for (const series of [truth.stone, truth.dome]) expect(series.every(Number.isFinite)).toBe(true);
    truth.actions.forEach((act, i) => expect(act.t).toBeGreaterThanOrEqual(truth.actions[i - 1]?.t ?? 0));
  });

  test('opens and closes the lid in turn, and launches, turns and takes off under an open lid', () => {
    let open = false;
    for (const act of truth.actions) {
      if (act.do === 'lid-open' || act.do === 'lid-close') {
        expect(open).toBe(act.do === 'lid-close');
        open = act.do === 'lid-open';
      }
      if (act.do === 'launch' || act.do === 'turn' || act.do === 'off') expect(open).toBe(true);
    }
  });

  test('bakes its pizzas one after the other, launched in the band and taken off after the bake', () => {
    const [launches, offs] = [times(truth, 'launch'), times(truth, 'off')];
    expect(launches.length).toBe(3);
    launches.forEach((t, i) => {
      expect(truth.stone[t]).toBeGreaterThan(250);
      expect(truth.onStone[t + 5]).toBe(true);
      expect((offs[i] ?? 0) - t).toBeGreaterThan(380);
      expect((offs[i] ?? 0) - t).toBeLessThan(480);
    });
  });
});

test('people differ as they should', () => {
  const peak = (truth: Truth): number => truth.stone.reduce((most, value) => Math.max(most, value), 0);
  expect(peak(as('careful'))).toBeLessThan(300);
  expect(peak(as('never'))).toBeGreaterThan(350);
  expect(peak(as('late'))).toBeGreaterThan(290);
  // reopened after 70 min, but by then the evening is lost
  expect(as('starved').stone[4000]).toBeLessThan(200);
  expect(times(as('never'), 'vent')).toHaveLength(0);
  expect(times(as('eager'), 'vent').length).toBeGreaterThan(times(as('late'), 'vent').length);
});

test('a script happens whatever the person does', () => {
  const truth = cook({ ...PLAN, script: [{ at: 600, deed: { do: 'fuel', kg: 0.5 } }] });
  expect(truth.actions).toContainEqual({ t: 600, do: 'fuel', kg: 0.5 });
});
