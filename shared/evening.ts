import { z } from 'zod';

/** Shapes of the evening: the plan before the cook, eaters and their tastes. Fractions are of the flour (1 = 100 %). */

export const YEASTS = ['fresh', 'active-dry', 'instant'] as const;
export type Yeast = (typeof YEASTS)[number];
export const MIXERS = ['hand', 'stand', 'fast'] as const;
export type Mixer = (typeof MIXERS)[number];
export const MATERIALS = ['cordierite', 'fireclay', 'steel', 'cast-iron'] as const;
export type Material = (typeof MATERIALS)[number];

/** Steps of an evening, in the order in which they would be told. `stretch` to `off` come once a pizza. */
export const STEPS = [
  'weigh',
  'mix',
  'knead',
  'bulk',
  'cold',
  'warm',
  'ball',
  'rest',
  'sauce',
  'light-fire',
  'stone-on',
  'soak',
  'toppings',
  'stretch',
  'launch',
  'turn',
  'off',
  'shut-down',
  'ash-out',
] as const;
export type StepName = (typeof STEPS)[number];

const from = (what: string, low: number, high: number, unit = '') => {
  const said = `${what} is expected from ${low} to ${high}${unit && ` ${unit}`}`;
  return z.number({ error: said }).min(low, said).max(high, said);
};
const one = <const T extends readonly [string, ...string[]]>(what: string, names: T) =>
  z.enum(names, { error: `${what} is one of ${names.join(', ')}` });
const instant = (what: string) =>
  z.iso.datetime({
    offset: true,
    error: `${what} is expected as a time with its zone, such as 2026-05-02T19:00:00Z`,
  });

/** The stone as it lies in the grill. `gapMm` is the air between it and the deflector, 0 where it rests on it. */
export const stoneSetup = z.object({
  name: z.string().max(80).default(''),
  material: one('the material', MATERIALS).default('cordierite'),
  thicknessMm: from('the thickness', 5, 60, 'mm').default(15),
  gapMm: from('the air gap', 0, 100, 'mm').default(10),
});
export type StoneSetup = z.infer<typeof stoneSetup>;

const fractions = {
  hydration: from('the hydration', 0.4, 1, 'as a fraction of the flour'),
  saltFraction: from('the salt', 0, 0.06, 'as a fraction of the flour'),
  oilFraction: from('the oil', 0, 0.15, 'as a fraction of the flour'),
  sugarFraction: from('the sugar', 0, 0.1, 'as a fraction of the flour'),
  yeast: one('the yeast', YEASTS),
  yeastFraction: from('the yeast', 0.00005, 0.1, 'as a fraction of the flour').nullable(),
};

/** What an evening is planned from. `serveAt` and `pizzas` are needed, the rest has defaults. */
export const planInput = z.object({
  serveAt: instant('serveAt'),
  pizzas: from('the number of pizzas', 1, 60).int('the number of pizzas is a whole number'),
  ballGrams: from('the ball', 80, 800, 'g').optional(),
  /** Instead of `ballGrams`: the size across, cm. */
  diameterCm: from('the pizza', 15, 45, 'cm across').optional(),
  hydration: fractions.hydration.default(0.62),
  saltFraction: fractions.saltFraction.default(0.025),
  oilFraction: fractions.oilFraction.default(0),
  sugarFraction: fractions.sugarFraction.default(0),
  yeast: fractions.yeast.default('instant'),
  /** Null asks for it to be worked out; given, `bulkHours` follows from it. */
  yeastFraction: fractions.yeastFraction.default(null),
  /** From kneaded to balled, hours, the time in the fridge in it. */
  bulkHours: from('the bulk time', 1, 96, 'h').default(3),
  /** How many of those hours the dough lies in the fridge; absent: none up to 24 h of bulk, all but 4 h beyond. */
  coldHours: from('the time in the fridge', 0, 95, 'h').optional(),
  fridgeC: from('the fridge', 0, 12, '°C').default(4),
  roomC: from('the room', 5, 40, '°C').default(21),
  /** Absent: as warm as the room. */
  flourC: from('the flour', -20, 40, '°C').optional(),
  mixer: one('the mixer', MIXERS).default('stand'),
  /** Absent: the middle of what is common for the mixer. */
  frictionC: from('the friction', 0, 25, '°C').optional(),
  /** A preferment goes into the water's sum with its temperature. */
  prefermentC: from('the preferment', 0, 40, '°C').optional(),
  doughC: from('the dough', 15, 35, '°C').default(25),
  /** What is lost on hands and bowl, as a fraction of all. */
  wasteFraction: from('the loss', 0, 0.25, 'as a fraction of the dough').default(0),
  kneadMinutes: from('the kneading', 0, 60, 'min').default(10),
  restMinutes: from('the rest of the balls', 5, 300, 'min').default(20),
  turnMinutes: from('the turn', 0.5, 30, 'min').optional(),
  bakeMinutes: from('the bake', 1, 45, 'min').default(7.5),
  recoveryMinutes: from('the recovery of the stone', 0, 60, 'min').default(5),
  /** What earlier cooks took from lighting to a ready stone, min, oldest first. */
  fireLeads: z
    .array(from('the lead of the fire', 10, 300, 'min'))
    .max(500)
    .default([]),
  stone: stoneSetup.prefault({}),
  rawMeat: z.boolean().default(false),
});
export type PlanInput = z.input<typeof planInput>;
export type PlanSettings = z.output<typeof planInput>;

/** Grams. The parts add up to `totalGrams`; oil and sugar are there when the formula has them. */
export const doughMasses = z.object({
  flourGrams: z.number(),
  waterGrams: z.number(),
  saltGrams: z.number(),
  yeastGrams: z.number(),
  oilGrams: z.number().optional(),
  sugarGrams: z.number().optional(),
  totalGrams: z.number(),
});
export type DoughMasses = z.infer<typeof doughMasses>;

/** What `peelside plan` answers. */
export const planOutput = z.object({
  dough: doughMasses,
  waterC: z.number(),
  steps: z.array(z.object({ at: z.iso.datetime(), step: z.enum(STEPS), text: z.string() })),
  cautions: z.array(z.string()),
});
export type PlanOutput = z.infer<typeof planOutput>;

/** A caution: short, with its source, dismissible by its id. */
export const caution = z.object({ id: z.string(), text: z.string(), source: z.string() });
export type Caution = z.infer<typeof caution>;

/** A step as the page draws it. `id` is `step` or `step:pizza`, pizzas counted from 1. */
export const eveningStep = z.object({
  id: z.string(),
  step: z.enum(STEPS),
  pizza: z.number().int().optional(),
  at: z.iso.datetime(),
  text: z.string(),
  done: z.boolean(),
  cautions: z.array(caution),
});
export type EveningStep = z.infer<typeof eveningStep>;

/** A whole evening worked out. `fire` is the time from lighting to a ready stone in min, with the 80 % range. */
export const evening = z.object({
  settings: planInput,
  serveAt: z.iso.datetime(),
  dough: doughMasses,
  waterC: z.number(),
  yeastFraction: z.number(),
  bulkHours: z.number(),
  coldHours: z.number(),
  fire: z.object({
    lead: z.number(),
    middle: z.number(),
    between: z.tuple([z.number(), z.number()]),
    cooks: z.number(),
  }),
  steps: z.array(eveningStep),
  cautions: z.array(caution),
});
export type Evening = z.infer<typeof evening>;

/** `at` before now: it was done then. `at` after now: it is expected then. `serve` moves the guests. */
export const happening = z.object({
  step: z.enum([...STEPS, 'serve']),
  pizza: z.number().int().min(1).optional(),
  at: instant('at'),
});
export type Happening = z.infer<typeof happening>;

export const doughFormula = z.object({
  kind: z.literal('dough'),
  id: z.string().min(1).max(64),
  /** Counts up with every change; a cook names the version it used. */
  version: z.number().int().min(1),
  name: z.string().min(1).max(80),
  ...fractions,
  bulkHours: planInput.shape.bulkHours,
  coldHours: planInput.shape.coldHours,
  doughC: planInput.shape.doughC,
  ballGrams: from('the ball', 80, 800, 'g'),
  note: z.string().max(2000).default(''),
  origin: z.string().max(400).default(''),
});
export type DoughFormula = z.infer<typeof doughFormula>;

/** A sauce: grams of each thing for one pizza. */
export const sauceFormula = z.object({
  kind: z.literal('sauce'),
  id: z.string().min(1).max(64),
  version: z.number().int().min(1),
  name: z.string().min(1).max(80),
  parts: z
    .array(z.object({ name: z.string().min(1).max(80), gramsPerPizza: from('a part', 0.01, 500, 'g') }))
    .min(1)
    .max(40),
  note: z.string().max(2000).default(''),
  origin: z.string().max(400).default(''),
});
export type SauceFormula = z.infer<typeof sauceFormula>;
export const formula = z.discriminatedUnion('kind', [doughFormula, sauceFormula]);
export type Formula = z.infer<typeof formula>;

/** How an eater likes it: each from -2 to 2. base pale … well done, crust soft … crisp, toppings dry … wet. */
const taste5 = (what: string) => from(what, -2, 2).default(0);
export const taste = z.object({
  base: taste5('the base'),
  crust: taste5('the crust'),
  wetness: taste5('the wetness'),
});
export type Taste = z.infer<typeof taste>;

/** A verdict in five; a plain pale or scorched is the outer step. */
export const VERDICTS5 = ['pale', 'a-little-pale', 'right', 'a-little-dark', 'scorched'] as const;
export type Verdict5 = (typeof VERDICTS5)[number];
