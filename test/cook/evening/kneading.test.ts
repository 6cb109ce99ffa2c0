import { describe, expect, it } from 'vitest';
import { learntFriction } from '../../../server/cook/evening/kneading.ts';
import { allFormulas, keepFormula } from '../../../server/cook/evening/formulas.ts';
import { SHIPPED_FORMULAS } from '../../../server/evening/dough/recipe/shipped-formulas.ts';
import { planInput } from '../../../shared/evening/evening.ts';
import { planDraft } from '../../../shared/evening/plan.ts';
import { openSession } from '../../support/session.ts';

const draft = (over: object = {}) =>
  planDraft.parse({ input: planInput.parse({ serveAt: '2026-06-01T23:00:00Z', pizzas: 5, ...over }) });

describe('the dough of a plan, measured after kneading', () => {
  it('moves the plan, teaches the mixer, and survives a restart', () => {
    const bench = openSession();
    const { plan } = bench.session.evening;
    plan.put(draft());
    const before = plan.evening();
    plan.measure(27);
    expect(plan.evening().bulkHours).toBeLessThan(before.bulkHours);
    expect(learntFriction(bench.store, 'stand').learntFriction?.frictionC).toBeCloseTo(8 + 9, 6);
    bench.store.close();
    const again = openSession(bench.folder, bench.clock);
    expect(again.session.evening.plan.evening().doughC).toBe(27);
    expect(learntFriction(again.store, 'stand').learntFriction?.doughs).toBe(1);
    expect(learntFriction(again.store, 'hand')).toEqual({});
  });

  it('measured twice, the later one counts; taken back, nothing was learnt', () => {
    const bench = openSession();
    const { plan } = bench.session.evening;
    plan.put(draft());
    const before = plan.evening();
    plan.measure(27);
    plan.measure(25);
    expect(learntFriction(bench.store, 'stand').learntFriction).toEqual({
      frictionC: expect.closeTo(8 + 3, 6),
      doughs: 1,
    });
    plan.measure(null);
    expect(learntFriction(bench.store, 'stand')).toEqual({});
    expect(plan.evening()).toEqual(before);
  });

  it('stays with the plan that it was measured for', () => {
    const bench = openSession();
    const { plan } = bench.session.evening;
    plan.put(draft());
    plan.measure(27);
    plan.put(draft({ pizzas: 6 }));
    expect(plan.evening().doughC).toBe(27);
    plan.put(draft({ serveAt: '2026-06-08T23:00:00Z' }));
    expect(plan.evening().doughC).toBeCloseTo(24, 6);
    expect(learntFriction(bench.store, 'stand').learntFriction?.doughs).toBe(1);
  });

  it('without a plan there is none to measure', () => {
    const bench = openSession();
    expect(() => bench.session.evening.plan.measure(25)).toThrow('There is no plan for this dough');
  });
});

describe('what was kept by an earlier version', () => {
  const OLD = {
    kind: 'dough',
    id: 'mine',
    version: 1,
    name: 'Mine',
    hydration: 0.63,
    saltFraction: 0.025,
    oilFraction: 0,
    sugarFraction: 0,
    yeast: 'instant',
    yeastFraction: null,
    bulkHours: 30,
    coldHours: 26,
    doughC: 24,
    ballGrams: 250,
    note: '',
    origin: '',
  };

  it('a formula without the newer parts is read with their defaults, and its next version is 2', () => {
    const bench = openSession();
    bench.store.putSetting('formulas', [OLD, { kind: 'dough', id: 'broken' }]);
    const mine = allFormulas(bench.store).find(({ id }) => id === 'mine');
    expect(mine).toMatchObject({ ...OLD, coldAs: 'mass' });
    expect(allFormulas(bench.store)).toHaveLength(SHIPPED_FORMULAS.length + 1);
    if (!mine) throw new Error('the formula is gone');
    expect(keepFormula(bench.store, mine).version).toBe(2);
    // what can't be read is still there for a version that can
    expect(bench.store.setting('formulas')).toHaveLength(3);
  });

  it('a plan with the older rest of its balls loads, with that rest', () => {
    const bench = openSession();
    const {
      coldAs: _a,
      altitudeM: _b,
      unit: _c,
      ...input
    } = planInput.parse({
      serveAt: '2026-06-01T23:00:00Z',
      pizzas: 4,
      ballGrams: 270,
      bulkHours: 2.5,
      coldHours: 0,
      restMinutes: 20,
      kneadMinutes: 10,
    });
    const old = {
      input,
      formula: { id: 'after-lunch', version: 1, name: 'After lunch' },
      sauce: null,
      guests: [],
      run: [],
    };
    bench.store.putSetting('plan', { draft: old, happened: [], cook: null });
    bench.store.close();
    const again = openSession(bench.folder, bench.clock);
    const evening = again.session.evening.plan.evening();
    expect([evening.bulkHours, evening.ballHours]).toEqual([2.5, expect.closeTo(1 / 3, 9)]);
    expect(
      again.session.evening.plan.live(again.clock.wall(), null, null, null)?.steps.length,
    ).toBeGreaterThan(10);
  });
});
