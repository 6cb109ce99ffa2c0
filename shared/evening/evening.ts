import { z } from 'zod';
import { doughStage, from, oneOf, preferment, prefermentMasses, yeastSolution } from './dough.ts';
import { fit } from './fit.ts';
import { UNITS } from '../units.ts';

/** Shapes of the evening: the plan before the cook, eaters and their tastes. Fractions are of the flour (1 = 100 %). */

export const YEASTS = ['fresh', 'active-dry', 'instant'] as const;
export type Yeast = (typeof YEASTS)[number];
export const MIXERS = ['hand', 'stand', 'fast'] as const;
export type Mixer = (typeof MIXERS)[number];
export const MATERIALS = ['cordierite', 'fireclay', 'steel', 'cast-iron'] as const;
export type Material = (typeof MATERIALS)[number];

/** Steps of an evening, in the order in which they would be explained. `stretch` to `off` come once a pizza;
 * `toppings` and `refuel` come again with the number of the pizza that they come before. */
export const STEPS = [
  'preferment',
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
  'vents',
  'soak',
  'toppings',
  'refuel',
  'stretch',
  'launch',
  'turn',
  'off',
  'shut-down',
  'ash-out',
] as const;
export type StepName = (typeof STEPS)[number];

/** Years in which an evening may lie: what is reckoned from it then has years of four digits too. */
const YEAR_RANGE = [2000, 2099] as const;
const instant = (what: string) =>
  z.iso
    .datetime({
      offset: true,
      error: `${what} is expected as a time with its zone, such as 2026-05-02T19:00:00Z`,
    })
    .refine(
      (text) => Number(text.slice(0, 4)) >= YEAR_RANGE[0] && Number(text.slice(0, 4)) <= YEAR_RANGE[1],
      `${what} is expected in a year from ${YEAR_RANGE[0]} to ${YEAR_RANGE[1]}`,
    );

const band = (what: string) =>
  z
    .tuple([from(what, 50, 600, '°C'), from(what, 50, 600, '°C')])
    .refine(([low, high]) => low < high, `${what} is its lowest and its highest temperature`);

/** The stone as it lies in the grill. `gapMm` is the air between it and the deflector, 0 where it rests on it. */
export const stoneSetup = z.object({
  name: z.string().max(80).default(''),
  material: oneOf('the material', MATERIALS).default('cordierite'),
  thicknessMm: from('the thickness', 5, 60, 'mm').default(15),
  gapMm: from('the air gap', 0, 100, 'mm').default(10),
});
export type StoneSetup = z.infer<typeof stoneSetup>;

export const fractions = {
  hydration: from('the hydration', 0.4, 1, 'as a fraction of the flour'),
  saltFraction: from('the salt', 0, 0.06, 'as a fraction of the flour'),
  oilFraction: from('the oil', 0, 0.15, 'as a fraction of the flour'),
  sugarFraction: from('the sugar', 0, 0.1, 'as a fraction of the flour'),
  yeast: oneOf('the yeast', YEASTS),
  yeastFraction: from('the yeast', 0.00005, 0.1, 'as a fraction of the flour').nullable(),
};

/** How an eater likes it: each from -2 to 2. base pale … well done, crust soft … crisp, toppings dry … wet. */
const taste5 = (what: string) => from(what, -2, 2).default(0);
export const taste = z.object({
  base: taste5('the base'),
  crust: taste5('the crust'),
  wetness: taste5('the wetness'),
});
export type Taste = z.infer<typeof taste>;

/** What an evening is planned from. `serveAt` and `pizzas` are needed, the rest has defaults. */
export const planInput = z.object({
  serveAt: instant('serveAt'),
  pizzas: from('the number of pizzas', 1, 60).int('the number of pizzas is a whole number'),
  ballGrams: from('the ball', 80, 800, 'g').optional(),
  /** Instead of `ballGrams`: the size across, cm. */
  diameterCm: from('the pizza', 15, 45, 'cm across').optional(),
  hydration: fractions.hydration.default(0.61),
  saltFraction: fractions.saltFraction.default(0.023),
  oilFraction: fractions.oilFraction.default(0),
  sugarFraction: fractions.sugarFraction.default(0),
  yeast: fractions.yeast.default('instant'),
  /** Null asks for it to be worked out; given, `bulkHours` follows from it. */
  yeastFraction: fractions.yeastFraction.default(null),
  /** From kneaded to balled, hours, the time in the fridge in it where the mass goes cold. */
  bulkHours: from('the bulk time', 0, 96, 'h').default(3.5),
  /** Hours in the fridge; absent: what the bulk has beyond 6 h, as mass. */
  coldHours: from('the time in the fridge', 0, 96, 'h').optional(),
  /** What lies in the fridge: the mass, or the balls, whose cold is then not in `bulkHours`. */
  coldAs: oneOf('what goes cold', ['mass', 'balls']).default('mass'),
  /** As balls in the room before the first launch, h; absent: `restMinutes` where that is given, else 2 h. */
  ballHours: from('the time as balls', 0, 48, 'h').optional(),
  fridgeC: from('the fridge', 0, 12, '°C').default(4),
  roomC: from('the room', 0, 45, '°C').default(21),
  /** Absent: as warm as the room. */
  flourC: from('the flour', -20, 45, '°C').optional(),
  /** Water from the tap; absent: 5 °C below the room. */
  tapC: from('the tap water', 0, 45, '°C').optional(),
  /** The air around the grill; absent: 20 °C, calm. */
  outsideC: from('the air outside', -30, 50, '°C').optional(),
  windy: z.boolean().optional(),
  altitudeM: from('the altitude', -500, 5000, 'm').default(0),
  /** Of the texts. */
  unit: oneOf('the unit', UNITS).default('C'),
  mixer: oneOf('the mixer', MIXERS).default('stand'),
  /** Absent: the middle of what is common for the mixer. */
  frictionC: from('the friction', 0, 25, '°C').optional(),
  /** What the person's own mixer was found to do, `frictionC` of so many doughs; filled in by the server. */
  learntFriction: z.object({ frictionC: z.number(), doughs: z.number().int() }).optional(),
  /** Null: none, which is how a proposal takes one away. */
  preferment: preferment.nullish(),
  /** The preferment as it goes into the dough; absent: as warm as its place. */
  prefermentC: from('the preferment', 0, 40, '°C').optional(),
  /** The dough as measured after kneading: its yeast is in it by then, the times move. */
  measuredC: from('the measured dough', 2, 45, '°C').optional(),
  doughC: from('the dough', 10, 35, '°C').default(24),
  /** What is lost on hands and bowl, as a fraction of all. */
  wasteFraction: from('the loss', 0, 0.25, 'as a fraction of the dough').default(0),
  kneadMinutes: from('the kneading', 0, 60, 'min').default(8),
  /** The older name of `ballHours`, which is stronger. */
  restMinutes: from('the rest of the balls', 5, 300, 'min').optional(),
  /** After the launch; null: no turn. Absent: at the usual share of the bake. */
  turnMinutes: from('the turn', 0.5, 30, 'min').nullable().optional(),
  bakeMinutes: from('the bake', 1, 45, 'min').default(7.5),
  /** Of the eaters, in the order of the run: each pizza has the bake that goes with it. */
  tastes: z.array(taste).max(60).optional(),
  recoveryMinutes: from('the recovery of the stone', 0, 60, 'min').default(5),
  /** What earlier cooks took from lighting to a ready stone, min, oldest first. */
  fireLeads: z
    .array(from('the lead of the fire', 10, 300, 'min'))
    .max(500)
    .default([]),
  stone: stoneSetup.prefault({}),
  /** Wanted of stone and dome, °C; absent: the usual band. */
  stoneBand: band('the band of the stone').optional(),
  domeBand: band('the band of the dome').optional(),
  /** What earlier cooks burnt as a share of what was reckoned for them, oldest first. */
  charcoalFactors: z
    .array(from('the share of charcoal', 0.1, 10))
    .max(500)
    .optional(),
  /** The moment of asking; absent: nothing is too late. */
  now: instant('now').optional(),
  rawMeat: z.boolean().default(false),
});
export type PlanInput = z.input<typeof planInput>;

export type PlanSettings = z.output<typeof planInput>;

/** Grams. The parts add up to `totalGrams`; oil and sugar are there when the formula has them. */
const doughMasses = z.object({
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
  /** Of the water, in its grams. */
  iceGrams: z.number(),
  stages: z.array(doughStage),
  preferment: prefermentMasses.optional(),
  ...fit.shape,
  lastOffAt: z.iso.datetime(),
  charcoalGrams: z.number(),
  steps: z.array(z.object({ at: z.iso.datetime(), step: z.enum(STEPS), text: z.string() })),
  cautions: z.array(z.string()),
});
export type PlanOutput = z.infer<typeof planOutput>;

/** A caution: short, with its source, acknowledged by its id. */
export const caution = z.object({ id: z.string(), text: z.string(), source: z.string() });
export type Caution = z.infer<typeof caution>;
/** As the first screen shows it: `head` is its label where there is no room for the text. */
export const liveCaution = caution.extend({ head: z.string() });
export type LiveCaution = z.infer<typeof liveCaution>;
/** What to do before the lid goes up while the fire may flare, and why it may. */
export const lidHazard = z.object({ text: z.string(), why: z.string(), source: z.string() });
export type LidHazard = z.infer<typeof lidHazard>;

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

/** A whole evening worked out. `fire` is the time from lighting to a stone warm right through, min, with the 80 % range. */
export const evening = z.object({
  settings: planInput,
  serveAt: z.iso.datetime(),
  dough: doughMasses,
  /** The dough after kneading, as the balance of its heat gives it, and the balls at the first launch. */
  doughC: z.number(),
  ballsC: z.number(),
  waterC: z.number(),
  iceGrams: z.number(),
  yeastFraction: z.number(),
  /** As settled, which can differ from what was asked. */
  bulkHours: z.number(),
  coldHours: z.number(),
  ballHours: z.number(),
  stages: z.array(doughStage),
  preferment: prefermentMasses.nullable(),
  solution: yeastSolution.nullable(),
  /** Notes on the dough alone; also among the cautions. */
  doughNotes: z.array(caution),
  /** 1 is ripe at the first launch. */
  ripeness: z.number(),
  fire: z.object({
    lead: z.number(),
    middle: z.number(),
    between: z.tuple([z.number(), z.number()]),
    cooks: z.number(),
    /** Of it, until the stone is warm right through once its surface is ready. */
    soak: z.number(),
  }),
  ...fit.shape,
  lastOffAt: z.iso.datetime(),
  /** What burns, and what is put in for it to glow to the end: the one to buy. */
  charcoalGrams: z.number(),
  charcoalToHave: z.number(),
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

/** A verdict in five; a plain pale or scorched is the outer step. */
const VERDICTS5 = ['pale', 'a-little-pale', 'right', 'a-little-dark', 'scorched'] as const;
export type Verdict5 = (typeof VERDICTS5)[number];
