import { describe, expect, it } from 'vitest';
import { plan, planFromText, workOut } from '../../../server/evening/plan/plan.ts';
import { planOutput } from '../../../shared/evening.ts';

/** The example of the contract, word for word. */
const EXAMPLE =
  '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"ballGrams":255,"hydration":0.62,"saltFraction":0.025,"yeast":"instant","yeastFraction":null,"bulkHours":3,"roomC":21,"flourC":20,"frictionC":12,"doughC":25}';
const least = { serveAt: '2026-05-02T19:00:00Z', pizzas: 6 };
const at = (output: ReturnType<typeof plan>, step: string): string[] =>
  output.steps.filter((each) => each.step === step).map((each) => each.at);

describe("the contract's example", () => {
  const output = planFromText(EXAMPLE);

  it('is answered in exactly that shape', () => {
    expect(planOutput.strict().parse(output)).toEqual(output);
    expect(Object.keys(output)).toEqual(['dough', 'waterC', 'steps', 'cautions']);
    expect(Object.keys(output.dough)).toEqual([
      'flourGrams',
      'waterGrams',
      'saltGrams',
      'yeastGrams',
      'totalGrams',
    ]);
    for (const step of output.steps) expect(Object.keys(step)).toEqual(['at', 'step', 'text']);
  });

  it('makes 1530 g with water of 22 °C (handbook section 10)', () => {
    const { flourGrams, waterGrams, saltGrams, yeastGrams, totalGrams } = output.dough;
    expect(totalGrams).toBe(1530);
    expect(Math.round(100 * (flourGrams + waterGrams + saltGrams + yeastGrams))).toBe(153_000);
    expect(waterGrams / flourGrams).toBeCloseTo(0.62, 3);
    expect(saltGrams / flourGrams).toBeCloseTo(0.025, 3);
    expect(output.waterC).toBe(22);
  });

  it('works the yeast out within 30 % of 0.4 % × 2.75 h / 3 h (handbook section 10)', () => {
    const fraction = output.dough.yeastGrams / output.dough.flourGrams;
    expect(fraction / (0.004 * (2.75 / 3))).toBeGreaterThan(0.7);
    expect(fraction / (0.004 * (2.75 / 3))).toBeLessThan(1.3);
  });

  it('has a launch and an off for each pizza, the first launch by serveAt and the first pizza cut by then', () => {
    expect(at(output, 'launch')).toHaveLength(6);
    expect(at(output, 'off')).toHaveLength(6);
    expect(Date.parse(at(output, 'launch')[0] ?? '')).toBeLessThanOrEqual(Date.parse('2026-05-02T19:00:00Z'));
    expect(Date.parse(at(output, 'off')[0] ?? '')).toBeLessThanOrEqual(Date.parse('2026-05-02T19:00:00Z'));
  });

  it('goes from weighing to the ash of tomorrow, in order of time', () => {
    const steps = output.steps.map(({ step }) => step);
    expect(steps[0]).toBe('weigh');
    expect(steps.at(-1)).toBe('ash-out');
    for (const name of [
      'sauce',
      'mix',
      'knead',
      'bulk',
      'ball',
      'rest',
      'light-fire',
      'stone-on',
      'soak',
      'toppings',
      'shut-down',
    ] as const)
      expect(steps).toContain(name);
    const times = output.steps.map((each) => Date.parse(each.at));
    expect([...times].sort((a, b) => a - b)).toEqual(times);
  });

  it('bulks for its 3 h and cautions with sources', () => {
    const hours =
      (Date.parse(at(output, 'ball')[0] ?? '') - Date.parse(at(output, 'bulk')[0] ?? '')) / 3_600_000;
    expect(hours).toBeCloseTo(3, 6);
    expect(
      output.cautions.some((text) => /outdoors only/.test(text) && /Consumer Product Safety/.test(text)),
    ).toBe(true);
  });
});

describe('what is asked for', () => {
  it('needs serving time and number only', () => {
    const output = plan(least);
    expect(output.dough.totalGrams).toBe(1530);
    expect(plan({ ...least, serveAt: '2026-05-02T21:00:00+02:00' })).toEqual(output);
  });

  it('given yeast, lets the bulk follow: half the yeast takes twice the time at one temperature', () => {
    const same = { ...least, roomC: 22, doughC: 22 };
    expect(workOut({ ...same, yeastFraction: 0.004 }).bulkHours).toBeCloseTo(2.75, 6);
    expect(workOut({ ...same, yeastFraction: 0.002 }).bulkHours).toBeCloseTo(5.5, 6);
    expect(workOut({ ...same, yeast: 'fresh', yeastFraction: 0.004 / 0.33 }).bulkHours).toBeCloseTo(2.75, 6);
  });

  it('yeast worked out for a time gives that time back', () => {
    const { yeastFraction } = workOut({ ...least, bulkHours: 5 });
    expect(workOut({ ...least, yeastFraction }).bulkHours).toBeCloseTo(5, 1);
  });

  it('plans 72 h by way of the fridge, with time in the room before and after', () => {
    const evening = workOut({ ...least, bulkHours: 72 });
    expect([evening.bulkHours, evening.coldHours]).toEqual([72, 68]);
    const steps = evening.steps.map(({ step }) => step);
    expect(steps.indexOf('bulk')).toBeLessThan(steps.indexOf('cold'));
    expect(steps.indexOf('cold')).toBeLessThan(steps.indexOf('warm'));
    expect(steps.indexOf('warm')).toBeLessThan(steps.indexOf('ball'));
    const same = workOut({ ...least, bulkHours: 2.5 });
    expect(same.steps.map(({ step }) => step)).not.toContain('cold');
    expect(evening.yeastFraction).toBeLessThan(same.yeastFraction);
  });

  it('lights the fire by what this grill did before', () => {
    const slow = workOut({ ...least, fireLeads: [110, 105, 112, 108, 111, 109] });
    const usual = workOut(least);
    expect(slow.fire.lead).toBeGreaterThan(usual.fire.lead);
    const gap = (evening: typeof slow) =>
      Date.parse(evening.steps.find(({ id }) => id === 'launch:1')?.at ?? '') -
      Date.parse(evening.steps.find(({ step }) => step === 'light-fire')?.at ?? '');
    expect(gap(slow)).toBe(slow.fire.lead * 60_000);
    expect(slow.fire.between[1]).toBe(slow.fire.lead);
  });

  it('says ice for ice water, and to cook raw meat where there is some', () => {
    const cold = plan({ ...least, doughC: 24, flourC: 28, roomC: 30, frictionC: 8 });
    expect(cold.waterC).toBe(6);
    expect(cold.cautions.some((text) => text.includes('ice water'))).toBe(true);
    expect(plan({ ...least, rawMeat: true }).cautions.some((text) => text.includes('Cook raw sausage'))).toBe(
      true,
    );
    expect(plan(least).cautions.some((text) => text.includes('Cook raw sausage'))).toBe(false);
  });

  it('says how low a steel must be, and lets a thick stone soak for longer', () => {
    const steel = plan({ ...least, stone: { material: 'steel', thicknessMm: 8 } });
    expect(steel.cautions.some((text) => /^With carbon steel, bake at 1\d\d to 2\d\d °C/.test(text))).toBe(
      true,
    );
    const thick = plan({ ...least, stone: { material: 'fireclay', thicknessMm: 30 } });
    expect(Date.parse(at(thick, 'soak')[0] ?? '')).toBeLessThan(Date.parse(at(plan(least), 'soak')[0] ?? ''));
  });

  it('weighs oil and sugar where the formula has them', () => {
    const { dough } = plan({ ...least, oilFraction: 0.02, sugarFraction: 0.01 });
    expect((dough.oilGrams ?? 0) / dough.flourGrams).toBeCloseTo(0.02, 3);
    expect((dough.sugarGrams ?? 0) / dough.flourGrams).toBeCloseTo(0.01, 3);
    expect(dough.totalGrams).toBe(1530);
  });
});

describe('refusals, in one sentence that names what is expected', () => {
  it.each([
    ['not json', 'expected as one JSON object'],
    ['[]', "The evening can't be used"],
    ['3', "The evening can't be used"],
    ['{"pizzas":6}', 'serveAt is expected as a time with its zone'],
    ['{"serveAt":"tonight","pizzas":6}', 'serveAt is expected as a time with its zone'],
    ['{"serveAt":"2026-05-02T19:00:00Z"}', 'the number of pizzas is expected from 1 to 60'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":0}', 'from 1 to 60'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":2.5}', 'is a whole number'],
    [
      '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"hydration":62}',
      'the hydration is expected from 0.4 to 1 as a fraction of the flour',
    ],
    [
      '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"yeast":"sourdough"}',
      'one of fresh, active-dry, instant',
    ],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"roomC":38,"doughC":18}', 'it can be from 0 to 45 °C'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"bulkHours":5,"coldHours":24}', 'make the bulk longer'],
    ['{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"yeastFraction":0.06}', 'take less yeast'],
  ])('%s', (json, want) => {
    expect(() => planFromText(json)).toThrow(want);
    try {
      planFromText(json);
    } catch (error) {
      const { message } = error as Error;
      expect(message.endsWith('.')).toBe(true);
      expect(message.includes('\n')).toBe(false);
    }
  });

  it('says which names it does not know, and plans all the same', () => {
    const output = planFromText('{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"hydratoin":0.7}');
    expect(output.cautions[0]).toBe('"hydratoin" is not known to the plan and was left out.');
    expect(output.dough.totalGrams).toBe(1530);
  });
});
