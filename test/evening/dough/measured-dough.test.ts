import { describe, expect, it } from 'vitest';
import { learnFriction } from '../../../server/evening/dough/friction.ts';
import { follow } from '../../../server/evening/dough/physics/lump.ts';
import { ferment, lies } from '../../../server/evening/dough/fermentation.ts';
import { planInput, type PlanInput } from '../../../shared/evening/evening.ts';
import { forAll, real } from '../../support/property.ts';

const settingsOf = (over: Partial<PlanInput> = {}) =>
  planInput.parse({ serveAt: '2026-05-02T19:00:00Z', pizzas: 6, ...over });
const dough = (over: Partial<PlanInput> = {}) => ferment(settingsOf(over));
const all = ({ stages }: ReturnType<typeof dough>) => stages.reduce((sum, { hours }) => sum + hours, 0);
const noteOf = (over: Partial<PlanInput>) =>
  dough(over).notes.find(({ id }) => id === 'measured')?.text ?? '';

const COLD = { bulkHours: 18.5, coldHours: 16, ballHours: 2.5, doughC: 23 } as const;

describe('a dough that is measured after kneading', () => {
  it('27 °C instead of 24: balled sooner, the launch stays, the yeast is in it by then', () => {
    const [meant, warm] = [dough(), dough({ measuredC: 27 })];
    expect(warm.bulkHours).toBeLessThan(meant.bulkHours);
    expect(warm.ballHours).toBeGreaterThan(meant.ballHours);
    expect(all(warm)).toBeCloseTo(all(meant), 9);
    expect(warm.yeastFraction).toBe(meant.yeastFraction);
    expect([warm.doughC, warm.stages[0]?.startC]).toEqual([27, 27]);
    expect(noteOf({ measuredC: 27 })).toMatch(
      /^The dough is at 27 °C, 3 °C warmer than meant: ball it \d+ min sooner, and keep the balls in a place of about 1\d °C/,
    );
  });

  it('20 °C: balled later, and the place that it names for the balls makes them as ripe as meant', () => {
    const { hours, notes } = dough({ measuredC: 20 });
    expect(hours.first).toBeGreaterThan(3.5);
    const place = Number(/balls in a place of about (\d+) °C/.exec(notes[0]?.text ?? '')?.[1]);
    expect(place).toBeGreaterThan(21);
    const there = follow(lies(settingsOf(), hours, place), 20).work;
    const meant = follow(lies(settingsOf(), dough().hours), 24).work;
    expect(there / meant).toBeGreaterThan(0.93);
    expect(there / meant).toBeLessThan(1.07);
  });

  it('a warm dough that goes cold: into the fridge sooner, and as ripe as meant', () => {
    const [meant, warm] = [dough(COLD), dough({ ...COLD, measuredC: 27 })];
    expect(warm.stages[0]?.hours).toBeLessThan(meant.stages[0]?.hours ?? 0);
    expect(warm.coldHours).toBeGreaterThan(16);
    expect(all(warm)).toBeCloseTo(all(meant), 9);
    expect(warm.ripeness).toBeCloseTo(1, 1);
    expect(noteOf({ ...COLD, measuredC: 27 })).toContain('into the fridge');
  });

  it('given a dough as warm as meant, moves nothing', () => {
    expect(noteOf({ measuredC: 24.2 })).toBe('The dough is at 24 °C, as meant.');
    expect(dough({ measuredC: 24.2 }).hours).toEqual(dough().hours);
  });

  it('says it in °F, the difference by 9/5 only', () => {
    expect(noteOf({ measuredC: 27, unit: 'F' })).toContain('at 81 °F, 5.4 °F warmer');
  });

  it('never lets a warmer dough rise for longer before the fridge', () => {
    const celsius = real(15, 34);
    forAll({ seed: 8, numRuns: 100 }, celsius, real(0, 5), (measuredC, more) => {
      const first = (at: number) => dough({ ...COLD, measuredC: at }).hours.first;
      expect(first(measuredC + more)).toBeLessThanOrEqual(first(measuredC) + 1e-9);
    });
  });
});

describe('friction of a mixer, learnt', () => {
  it('a dough that came out as planned confirms the friction that was planned with', () => {
    const learnt = learnFriction(settingsOf({ frictionC: 7 }), 24, null);
    expect(learnt?.frictionC).toBeCloseTo(7, 6);
    expect(learnt?.doughs).toBe(1);
  });

  it('makes the next dough come out right: a mixer that warms by 6 °C where 2.7 were planned', () => {
    // the truth: F 18; planned with the middle of its kind, 8, so that the dough is 10/3 °C too warm
    const found = 24 + (18 - 8) / 3;
    const learnt = learnFriction(settingsOf(), found, null);
    expect(learnt?.frictionC).toBeCloseTo(18, 6);
    const next = dough({ learntFriction: learnt ?? undefined });
    expect(next.waterC).toBeLessThan(dough().waterC);
    expect(next.notes.find(({ id }) => id === 'friction-learnt')?.text).toContain(
      'by 6 °C, learnt from 1 dough',
    );
  });

  it('is a mean over doughs, and the person’s own figure is stronger', () => {
    const twice = learnFriction(settingsOf(), 25, { frictionC: 8, doughs: 1 });
    expect(twice).toEqual({ frictionC: expect.closeTo(9.5, 6), doughs: 2 });
    const own = { frictionC: 5, learntFriction: { frictionC: 18, doughs: 4 } };
    expect(dough(own).waterC).toBe(dough({ frictionC: 5 }).waterC);
  });

  it('learns nothing from a thermometer that was not in the dough', () => {
    expect(learnFriction(settingsOf(), 38, null)).toBeNull();
    expect(learnFriction(settingsOf(), 12, null)).toBeNull();
  });
});
