import { describe, expect, it } from 'vitest';
import { plan, planFromText, workOut } from '../../../server/evening/plan/planner.ts';
import { planOutput, type PlanInput } from '../../../shared/evening/evening.ts';

/** The documented example, word for word. */
const EXAMPLE =
  '{"serveAt":"2026-05-02T19:00:00Z","pizzas":6,"ballGrams":255,"hydration":0.62,"saltFraction":0.025,"yeast":"instant","yeastFraction":null,"bulkHours":3,"roomC":21,"flourC":20,"frictionC":12,"doughC":25}';
const least = { serveAt: '2026-05-02T19:00:00Z', pizzas: 6 };
const at = (output: ReturnType<typeof plan>, step: string): string[] =>
  output.steps.filter((each) => each.step === step).map((each) => each.at);

describe('the documented example', () => {
  const output = planFromText(EXAMPLE);

  it('is answered in exactly that shape', () => {
    expect(planOutput.strict().parse(output)).toEqual(output);
    expect(Object.keys(output).sort()).toEqual(
      [
        'dough',
        'waterC',
        'iceGrams',
        'stages',
        'fits',
        'lastOffAt',
        'charcoalGrams',
        'steps',
        'cautions',
      ].sort(),
    );
    expect(Object.keys(output.dough)).toEqual([
      'flourGrams',
      'waterGrams',
      'saltGrams',
      'yeastGrams',
      'totalGrams',
    ]);
    for (const step of output.steps) expect(Object.keys(step)).toEqual(['at', 'step', 'text']);
  });

  it('makes 1530 g with water of 22 °C (the bakers’ rule; our heat balance comes within half a degree)', () => {
    const { flourGrams, waterGrams, saltGrams, yeastGrams, totalGrams } = output.dough;
    expect(totalGrams).toBe(1530);
    expect(Math.round(100 * (flourGrams + waterGrams + saltGrams + yeastGrams))).toBe(153_000);
    expect(waterGrams / flourGrams).toBeCloseTo(0.62, 3);
    expect(saltGrams / flourGrams).toBeCloseTo(0.025, 3);
    expect(Math.abs(output.waterC - 22)).toBeLessThan(0.5);
  });

  it('works the yeast out within the common 0.02 to 1 % instant, 3 h in the mass and 2 h as balls taken together', () => {
    const fraction = output.dough.yeastGrams / output.dough.flourGrams;
    expect(fraction).toBeGreaterThan(0.0002);
    expect(fraction).toBeLessThan(0.005);
    expect(output.stages.map(({ stage, hours }) => [stage, hours])).toEqual([
      ['bulk', 3],
      ['balls', 2],
    ]);
  });

  it('goes from weighing to the ash of tomorrow', () => {
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
  });

  it('bulks for its 3 h and cautions with sources', () => {
    const hours =
      (Date.parse(at(output, 'ball')[0] ?? '') - Date.parse(at(output, 'bulk')[0] ?? '')) / 3_600_000;
    expect(hours).toBeCloseTo(3, 6);
    expect(
      output.cautions.some((text) => /Outdoors only/.test(text) && /Consumer Product Safety/.test(text)),
    ).toBe(true);
  });
});

describe('what is asked for', () => {
  it('needs serving time and number only', () => {
    const output = plan(least);
    expect(output.dough.totalGrams).toBe(6 * 265);
    expect(plan({ ...least, serveAt: '2026-05-02T21:00:00+02:00' })).toEqual(output);
  });

  it('given yeast, lets the bulk follow: half the yeast takes about twice the time at one temperature', () => {
    const same = { ...least, roomC: 22, flourC: 22, doughC: 22, ballHours: 1 };
    const all = (over: Partial<PlanInput>) => workOut({ ...same, ...over }).bulkHours + 1;
    const ratio = all({ yeastFraction: 0.0004 }) / all({ yeastFraction: 0.0008 });
    expect(ratio).toBeGreaterThan(1.7);
    expect(ratio).toBeLessThan(2.1);
    const fresh = all({ yeast: 'fresh', yeastFraction: 0.0008 / 0.33 });
    expect(fresh).toBeCloseTo(all({ yeastFraction: 0.0008 }), 1);
  });

  it('plans 72 h with the fridge, with time in the room before and after', () => {
    const evening = workOut({ ...least, bulkHours: 72 });
    expect([evening.bulkHours, evening.coldHours]).toEqual([72, 66]);
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
    const cold = plan({ ...least, doughC: 24, flourC: 28, roomC: 30, tapC: 24, frictionC: 8 });
    expect(cold.iceGrams).toBeGreaterThan(20);
    expect(cold.cautions.some((text) => text.includes(`${cold.iceGrams} g of the water as ice`))).toBe(true);
    expect(cold.steps.find(({ step }) => step === 'mix')?.text).toContain(`${cold.iceGrams} g of it as ice`);
    expect(plan({ ...least, rawMeat: true }).cautions.some((text) => text.includes('Cook raw sausage'))).toBe(
      true,
    );
    expect(plan(least).cautions.some((text) => text.includes('Cook raw sausage'))).toBe(false);
  });

  it('says how much lower a steel begins, and lets a thick stone soak for longer', () => {
    const steel = plan({ ...least, stone: { material: 'steel', thicknessMm: 8 } });
    const expected = /^Carbon steel gives its heat .* begin at 2[2-5]\d °C to 2\d\d °C/;
    expect(steel.cautions.some((text) => expected.test(text))).toBe(true);
    const launch = (over: Partial<PlanInput>) =>
      plan({ ...least, ...over, stone: { material: 'steel', thicknessMm: 8 } });
    const first = (output: typeof steel) => output.steps.find(({ step }) => step === 'launch')?.text;
    const [begin] = /2\d\d °C to 2\d\d/.exec(steel.cautions.join(' ')) ?? [];
    expect(first(steel)).toContain(`the stone at ${begin?.replace(' °C', '')} °C`);
    const usual = launch({ stoneBand: [255, 285] });
    expect(first(usual)).toContain('the stone at 255 to 285 °C');
    expect(usual.cautions.join(' ')).toContain('the band that is set, which is for cordierite');
    expect(launch({ stoneBand: [240, 265] }).cautions.join(' ')).not.toContain('Carbon steel');
    const thick = plan({ ...least, stone: { material: 'fireclay', thicknessMm: 30 } });
    expect(Date.parse(at(thick, 'soak')[0] ?? '')).toBeLessThan(Date.parse(at(plan(least), 'soak')[0] ?? ''));
  });

  it('weighs oil and sugar where the formula has them', () => {
    const { dough } = plan({ ...least, oilFraction: 0.02, sugarFraction: 0.01 });
    expect((dough.oilGrams ?? 0) / dough.flourGrams).toBeCloseTo(0.02, 3);
    expect((dough.sugarGrams ?? 0) / dough.flourGrams).toBeCloseTo(0.01, 3);
    expect(dough.totalGrams).toBe(6 * 265);
  });
});

describe('a dough with a stage of no time', () => {
  it.each([
    { bulkHours: 0 },
    { coldHours: 14 },
    { ballHours: 0 },
    { coldHours: 14, ballHours: 24 },
    { coldHours: 20, coldAs: 'balls', bulkHours: 0 },
    { recoveryMinutes: 0 },
    { kneadMinutes: 0 },
  ])('given %j, no step speaks of 0 min', (hours) => {
    const { steps } = planFromText(JSON.stringify({ serveAt: '2026-12-02T19:00:00Z', pizzas: 4, ...hours }));
    expect(steps.filter(({ text }) => /\b0 min\b/.test(text))).toEqual([]);
  });
});

describe('a bake without a turn', () => {
  it('given null for the turn, no step is a turn; given nothing, each pizza has one', () => {
    const steps = (over: Partial<PlanInput>) => plan({ ...least, ...over }).steps.map(({ step }) => step);
    expect(steps({ turnMinutes: null })).not.toContain('turn');
    expect(steps({ turnMinutes: null }).filter((step) => step === 'off')).toHaveLength(6);
    expect(steps({}).filter((step) => step === 'turn')).toHaveLength(6);
  });
});

describe('a long run', () => {
  const long = { ...least, pizzas: 25 };
  const stepsOf = (over: Partial<PlanInput>) => workOut({ ...long, ...over }).steps;
  const time = (steps: ReturnType<typeof stepsOf>, id: string): number =>
    Date.parse(steps.find((step) => step.id === id)?.at ?? '');

  it.each([
    { bulkHours: 1.5, coldHours: 44, coldAs: 'balls', ballHours: 3 },
    { bulkHours: 3.5, ballHours: 2 },
    { bulkHours: 3.5, ballHours: 0.5 },
    { bulkHours: 2, ballHours: 1, roomC: 32 },
  ] as const)(
    'given 25 pizzas of %j, the balls come out of the fridge in lots, each as long before its launch',
    (over) => {
      const steps = stepsOf(over);
      const out = steps.filter(({ step, pizza }) => step === 'warm' && pizza !== undefined);
      expect(out.length).toBeGreaterThanOrEqual('roomC' in over ? 3 : 1);
      const firsts = [1, ...out.map(({ pizza = 0 }) => pizza), 26];
      firsts.slice(1).forEach((next, i) => {
        const waits = time(steps, `launch:${next - 1}`) - time(steps, `launch:${firsts[i]}`);
        // so long beyond the first of its lot at most, a little more where the balls have hardly rested before
        expect(waits).toBeLessThanOrEqual((over.ballHours < 1 ? 180 : 150) * 60_000);
      });
      for (const { at, pizza, text } of out) {
        const ahead = time(steps, `launch:${pizza}`) - Date.parse(at);
        expect(ahead).toBeGreaterThanOrEqual(over.ballHours * 3_600_000 - 1000);
        expect(ahead).toBeGreaterThan(55 * 60_000);
        expect(text).toMatch(/^Balls for pizzas? \d+( to \d+)? out of the fridge/);
      }
      const before = steps.find(({ id }) => id === ('coldAs' in over ? 'warm' : 'rest'));
      expect(before?.text).toMatch(/pizzas 1 to \d+.*the others/);
    },
  );

  it('given eight pizzas, or a room in which no ball comes to be too warm, all balls stay together', () => {
    for (const over of [{ pizzas: 8 }, { roomC: 15 }])
      expect(stepsOf(over).filter(({ id }) => id.startsWith('warm:'))).toEqual([]);
  });

  it('given more dough than a home mixer kneads at once, gives each batch its time, and says in how many', () => {
    const steps = stepsOf({});
    expect(steps.find(({ id }) => id === 'knead')?.text).toBe(
      'Knead the first of 3 batches for 8 min, then mix and knead each of the others alike; put them together.',
    );
    // 8 min for the first, 5 + 8 min for each of the others
    expect(time(steps, 'bulk') - time(steps, 'knead')).toBe((8 + 2 * 13) * 60_000);
    expect(stepsOf({ kneadMinutes: 0 }).find(({ id }) => id === 'knead')?.text).not.toContain('batches');
    expect(plan(long).cautions.join(' ')).toContain(
      '6.6 kg of dough is more than a home mixer kneads at once: knead it in 3 batches',
    );
    expect(plan(least).cautions.join(' ')).not.toContain('batches');
  });
});

describe('what is said of an evening', () => {
  const textsOf = (input: Partial<PlanInput>) => {
    const { steps, cautions } = plan({ ...least, ...input });
    return [...steps.map(({ text }) => text), ...cautions].join('\n');
  };

  it('given a single pizza, has a single ball and no last one of several', () => {
    expect(textsOf({ pizzas: 1 })).toContain('Cover the ball: 2 h');
    expect(textsOf({ pizzas: 1 })).not.toContain('Cover the balls');
    expect(textsOf({ pizzas: 2 })).not.toContain(' min, the last ');
  });

  it('given forty pizzas on a stone, says when the last of them comes', () => {
    expect(textsOf({ pizzas: 40 })).toContain(
      'One pizza comes every 12.5 min, the last 8 h 28 min after the first',
    );
  });

  it.each([1, 6, 20])(
    'given %d pizzas, the sauce is made before the fire, and never makes the plan begin sooner',
    (pizzas) => {
      const { steps } = plan({ ...least, pizzas, fireLeads: [90, 95, 100] });
      const order = steps.map(({ step }) => step);
      expect(order.indexOf('sauce')).toBeLessThan(order.indexOf('light-fire'));
      const quick = plan({
        ...least,
        pizzas,
        bulkHours: 0,
        ballHours: 0.1,
        kneadMinutes: 0,
        fireLeads: [200, 200, 200],
      });
      expect(quick.steps[0]?.step).toBe('light-fire');
    },
  );

  it('given the usual evening, the sauce is made once the balls lie', () => {
    const order = plan({ ...least, pizzas: 4 }).steps.map(({ step }) => step);
    expect(order.indexOf('sauce')).toBeGreaterThan(order.indexOf('ball'));
    const [sauce, rest] = ['sauce', 'rest'].map((step) => at(plan({ ...least, pizzas: 4 }), step)[0]);
    expect(sauce).toBe(rest);
  });

  it('given any evening, the ash comes 48 h after a grill that was cold within a day, at the hour of its end', () => {
    const output = plan(least);
    const [end, ash] = ['shut-down', 'ash-out'].map((step) => Date.parse(at(output, step)[0] ?? ''));
    expect((ash ?? 0) - (end ?? 0)).toBe(72 * 3_600_000);
  });
});

describe('charcoal and soak', () => {
  it.each([6, 12, 25, 40])(
    'given %d pizzas, what is filled in is what is bought, and more than burns',
    (pizzas) => {
      const evening = workOut({ ...least, pizzas, outsideC: 0, windy: true });
      const kilograms = evening.steps.flatMap(({ step, text }) =>
        step === 'light-fire' || step === 'refuel' ? [Number(/([\d.]+) kg/.exec(text)?.[1])] : [],
      );
      const sum = kilograms.reduce((all, each) => all + each, 0);
      expect(sum).toBeCloseTo(evening.charcoalToHave / 1000, 6);
      expect(evening.charcoalToHave).toBeGreaterThan(evening.charcoalGrams * 1.1);
      const note = evening.cautions.find(({ id }) => id === 'charcoal-amount')?.text ?? '';
      expect(note).toContain(`Have ${sum.toFixed(1)} kg`);
    },
  );
});
