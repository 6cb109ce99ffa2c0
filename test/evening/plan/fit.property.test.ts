import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SHIPPED_FORMULAS } from '../../../server/evening/dough/recipe/shipped-formulas.ts';
import { plan, workOut } from '../../../server/evening/plan/planner.ts';
import type { PlanInput } from '../../../shared/evening/evening.ts';
import { doughParts } from '../../../shared/evening/formula.ts';
import { forAll, real } from '../../support/property.ts';
const HOUR = 3_600_000;
const SERVE = Date.UTC(2026, 9, 25, 0, 30); // the night in which Europe's clocks go back

/** Evenings over the whole space of kitchens, doughs, grills and weathers; asked from 4 days ahead until after serving. */
const inputs: fc.Arbitrary<PlanInput> = fc.record(
  {
    serveAt: fc.integer({ min: -24, max: 24 }).map((h) => new Date(SERVE + h * HOUR).toISOString()),
    pizzas: fc.integer({ min: 1, max: 40 }),
    now: real(-100, 2).map((h) => new Date(SERVE + h * HOUR).toISOString()),
    bulkHours: real(1, 72),
    coldHours: real(0, 66),
    coldAs: fc.constantFrom('mass' as const, 'balls' as const),
    ballHours: real(0.5, 6),
    yeastFraction: fc.option(real(0.0001, 0.01)),
    yeast: fc.constantFrom('fresh' as const, 'active-dry' as const, 'instant' as const),
    roomC: real(5, 38),
    flourC: real(0, 30),
    tapC: real(0, 30),
    outsideC: real(-15, 38),
    windy: fc.boolean(),
    altitudeM: real(0, 3000),
    bakeMinutes: real(1, 20),
    fireLeads: fc.array(real(20, 150), { maxLength: 4 }),
    mixer: fc.constantFrom('hand' as const, 'stand' as const, 'fast' as const),
    preferment: fc.record({
      kind: fc.constantFrom('poolish' as const, 'biga' as const, 'sourdough' as const),
    }),
    unit: fc.constantFrom('C' as const, 'F' as const),
  },
  { requiredKeys: ['serveAt', 'pizzas', 'now'] },
);

const at = (steps: readonly { at: string; step: string }[], name: string): number[] =>
  steps.filter(({ step }) => step === name).map((step) => Date.parse(step.at));

describe('an evening with a moment of asking', () => {
  it('fits with no step before now, or says why and what fits, planned again; its steps stay those of the wish', () => {
    let [fitting, late] = [0, 0];
    forAll({ seed: 1311, numRuns: 150 }, inputs, (input) => {
      const output = plan(input);
      const { now: _, ...wish } = input;
      const asked = plan(wish);
      expect(output.steps).toEqual(asked.steps);
      expect(asked.fits).toBe(true);
      const first = Date.parse(output.steps[0]?.at ?? '');
      expect(output.fits).toBe(first >= Date.parse(input.now ?? ''));
      if (output.fits) {
        fitting++;
        expect(output).not.toHaveProperty('why');
        return;
      }
      late++;
      expect(output.why).toMatch(/^[A-Z].*\.$/);
      expect(output.instead?.length).toBeGreaterThan(0);
      for (const change of workOut(input).instead ?? []) {
        const again =
          'dough' in change ? { ...input, ...change.dough } : { ...input, serveAt: change.serveAt };
        expect(plan(again).fits, change.text).toBe(true);
        // Taken on the page, a formula is taken whole.
        const whole = SHIPPED_FORMULAS.find(({ id }) => 'formula' in change && id === change.formula?.id);
        if (whole?.kind !== 'dough' || !('dough' in change)) continue;
        const { preferment = input.preferment } = change.dough;
        expect(plan({ ...input, ...doughParts(whole), preferment }).fits, change.text).toBe(true);
      }
    });
    expect(Math.min(fitting, late)).toBeGreaterThan(15);
  });

  it('has one launch a pizza, the first cut by serving, the fire before it, the end after all of it', () => {
    forAll({ seed: 1312, numRuns: 100 }, inputs, (input) => {
      const { steps, lastOffAt, charcoalGrams } = plan(input);
      const launches = at(steps, 'launch');
      expect(launches).toHaveLength(input.pizzas);
      const offs = at(steps, 'off');
      expect(offs).toHaveLength(input.pizzas);
      expect(offs[0]).toBeLessThanOrEqual(Date.parse(input.serveAt));
      const lead = (launches[0] ?? 0) - (at(steps, 'light-fire')[0] ?? 0);
      expect(lead).toBeGreaterThan(20 * 60_000);
      expect(lead).toBeLessThan(12 * HOUR);
      expect(Date.parse(lastOffAt)).toBe(offs.at(-1));
      expect(charcoalGrams).toBeGreaterThan(300);
      const times = steps.map((step) => Date.parse(step.at));
      expect([...times].sort((a, b) => a - b)).toEqual(times);
    });
  });

  it('never leaves toppings out for longer than 2 h, 1 h above 32 °C', () => {
    forAll({ seed: 1313, numRuns: 100 }, inputs, (input) => {
      const { steps, settings } = workOut(input);
      const atMost = (Math.max(settings.outsideC ?? 20, settings.roomC) > 32 ? 1 : 2) * HOUR;
      for (const launch of steps.filter(({ step }) => step === 'launch')) {
        const laid = steps.filter(
          ({ step, pizza = 1 }) => step === 'toppings' && pizza <= (launch.pizza ?? 1),
        );
        const latest = Math.max(...laid.map((step) => Date.parse(step.at)));
        expect(Date.parse(launch.at) - latest).toBeLessThanOrEqual(atMost);
      }
    });
  });

  it('has masses that add up, in grams and as they are said to be weighed, and no text of nothing', () => {
    forAll({ seed: 1316, numRuns: 60 }, inputs, (input) => {
      const evening = workOut(input);
      const { totalGrams, ...parts } = evening.dough;
      const sum = Object.values(parts).reduce((all, grams) => all + Math.round(100 * grams), 0);
      expect(sum).toBe(Math.round(100 * totalGrams));
      const weigh = evening.steps.find(({ step }) => step === 'weigh')?.text ?? '';
      const weighed = [...weigh.replace(/\(1 g [^)]*\)/, '').matchAll(/([\d.]+) g\b/g)].map(([, grams]) =>
        Number(grams),
      );
      const all = weighed.reduce((before, grams) => before + grams, 0);
      expect(Math.abs(all - totalGrams), weigh).toBeLessThan(3.5);
      const texts = [...evening.steps, ...evening.cautions, ...(evening.instead ?? [])].map(
        ({ text }) => text,
      );
      for (const text of texts) expect(text).not.toMatch(/\b0 (?:g|min|h)\b|NaN|undefined|Infinity|-\d+ g/);
    });
  });

  it('given another dough for who is late, that dough is ripe', () => {
    forAll({ seed: 1317, numRuns: 50 }, inputs, (input) => {
      for (const change of workOut(input).instead ?? []) {
        if (!('dough' in change)) continue;
        const { ripeness } = workOut({ ...input, ...change.dough });
        expect(ripeness, change.text).toBeGreaterThan(0.7);
        expect(ripeness, change.text).toBeLessThan(1.4);
      }
    });
  });

  it('speaks of no °C to who chose °F, and of no °F to who did not', () => {
    forAll({ seed: 1314, numRuns: 60 }, inputs, (input) => {
      expect(JSON.stringify(plan({ ...input, unit: 'F' }))).not.toContain('°C');
      expect(JSON.stringify(plan({ ...input, unit: 'C' }))).not.toContain('°F');
    });
  });
});

describe('what is proposed to who is late', () => {
  const wish = { serveAt: '2026-05-02T17:30:00Z', pizzas: 8 };

  it('72 h of dough for tomorrow: overnight or same day, or the same hour three days on', () => {
    const { fits, why, instead = [] } = plan({ ...wish, bulkHours: 72, now: '2026-05-01T15:00:00Z' });
    expect(fits).toBe(false);
    expect(why).toMatch(/^This dough has to be begun 3 days \d+ h before the first pizza is served/);
    expect(instead.filter((change) => 'dough' in change)).toHaveLength(2);
    expect(instead).toContainEqual({
      text: 'The same dough at the same hour, 3 days later.',
      serveAt: '2026-05-05T17:30:00Z',
    });
  });

  it.each(['sourdough', 'poolish', 'biga'] as const)(
    'seven hours ahead with a %s, which has its own time before: a shipped dough without it, and what it wants',
    (kind) => {
      const late = { ...wish, preferment: { kind }, now: '2026-05-02T10:15:00Z' };
      const [first] = plan(late).instead ?? [];
      expect(first?.text).toBe(`Another dough, with instant yeast and no ${kind}: “Same day: 5.5 h”.`);
      if (!first || !('dough' in first)) throw new Error('no dough is proposed');
      const taken = plan({ ...late, ...first.dough });
      expect(taken.fits).toBe(true);
      expect(taken).not.toHaveProperty('preferment');
      expect(taken.dough.yeastGrams).toBeGreaterThan(0.5);
      expect(plan({ ...late, now: '2026-05-02T13:00:00Z' }).instead?.[0]?.text).toMatch(
        new RegExp(`^A quick dough with more yeast and no ${kind}: .* in the mass, .* as balls\\.$`),
      );
    },
  );

  it('at noon for 15:00, by the clock of the place: the evening of the same day first', () => {
    const noon = { serveAt: '2026-05-02T15:00:00+02:00', pizzas: 4, now: '2026-05-02T12:00:00+02:00' };
    const servings = (plan(noon).instead ?? []).flatMap((each) => ('serveAt' in each ? [each.serveAt] : []));
    expect(servings).toEqual(['2026-05-02T16:15:00Z', '2026-05-03T13:00:00Z']);
  });

  it('serving in 20 minutes: no dough does it, a later serving does', () => {
    const { instead = [] } = plan({ ...wish, now: '2026-05-02T17:10:00Z' });
    expect(instead.length).toBeGreaterThan(0);
    expect(instead.every((change) => 'serveAt' in change)).toBe(true);
  });

  it.each([
    ['2026-05-02T10:30:00Z', 2],
    ['2026-05-02T12:30:00Z', 1],
  ])('asked at %s with too little yeast for the time: more of it, and it is said how much', (now, doughs) => {
    const input = { ...wish, yeastFraction: 0.0008, now };
    const { instead = [], dough } = plan(input);
    const [more] = instead;
    expect(instead.filter((change) => 'dough' in change)).toHaveLength(doughs);
    expect(more && 'dough' in more).toBe(true);
    if (!more || !('dough' in more)) return;
    const grams = plan({ ...input, ...more.dough }).dough.yeastGrams;
    expect(grams).toBeGreaterThan(dough.yeastGrams);
    expect(more.text).toContain(`More yeast, ${grams} g instead of ${dough.yeastGrams} g: `);
  });

  it('five hours ahead: a quick dough', () => {
    const { instead = [] } = plan({ ...wish, now: '2026-05-02T12:30:00Z' });
    expect(instead[0]?.text).toMatch(/^A quick dough with more yeast/);
  });

  it.each([
    // asked at 19:00 for 19:00 with a dough of 6 h: ready at about one, so the next day, then lunch of it
    ['2026-05-02T17:00:00Z', 3.5, ['2026-05-03T17:30:00Z', '2026-05-03T10:30:00Z']],
    // two hours late: tonight
    ['2026-05-02T13:30:00Z', 3.5, ['2026-05-02T19:', '2026-05-03T17:30:00Z']],
  ])('asked at %s, a later serving is at an hour at which guests come', (now, bulkHours, starts) => {
    const { instead = [] } = plan({ ...wish, bulkHours, now });
    const servings = instead.flatMap((change) => ('serveAt' in change ? [change.serveAt] : []));
    expect(servings).toHaveLength(2);
    starts.forEach((start, i) => expect(servings[i]?.startsWith(start), servings[i]).toBe(true));
  });

  it('given any evening that is too late, no serving that is proposed is in the night', () => {
    forAll({ seed: 1315, numRuns: 150 }, inputs, (input) => {
      const serve = Date.parse(input.serveAt);
      for (const change of plan(input).instead ?? []) {
        if (!('serveAt' in change)) continue;
        const beyond = (Date.parse(change.serveAt) - serve) % (24 * HOUR);
        expect(beyond <= 3 * HOUR || beyond >= 17 * HOUR, change.text).toBe(true);
      }
    });
  });
});
