import { z } from 'zod';
import { evening, eveningStep, happening, planInput, stoneSetup, taste } from './evening.ts';
import { formula } from './formula.ts';
import { fit } from './fit.ts';

/** The plan as the server keeps it and as the first screen shows it, and the notices while the pizzas run. */

const name = z.string().max(80);
const seconds = z.number().nullable();

export const DIETS = [
  'all',
  'vegetarian',
  'vegan',
  'pescatarian',
  'pork-free',
  'dairy-free',
  'gluten-free',
] as const;
export type Diet = (typeof DIETS)[number];
const diet = z.enum(DIETS).default('all');
/** What is on it, in words, with commas between: "ham, mushrooms". */
const toppings = z.string().max(200).default('');

export const guest = z.object({ name: name.min(1), taste: taste.prefault({}), diet });
export type Guest = z.infer<typeof guest>;

/** A pizza of the plan, in the order of the run. */
export const planPizza = z.object({
  name: name.default(''),
  eater: name.default(''),
  taste: taste.prefault({}),
  diet,
  toppings,
});
export type PlanPizza = z.infer<typeof planPizza>;

/** Which version of a kept formula; null where it is nobody's formula. */
const used = z.object({ id: z.string(), version: z.number().int(), name }).nullable().default(null);

export const planDraft = z.object({
  input: planInput,
  /** The dough that it was made from. */
  formula: used,
  sauce: used,
  guests: z.array(guest).max(40).default([]),
  /** Filled up for the guests in turn where it is shorter than the number of pizzas. */
  run: z.array(planPizza).max(60).default([]),
});
export type PlanDraft = z.infer<typeof planDraft>;

/** A step as it stands now. `moved` min later than first planned; `t` s of the cook that follows the plan. */
const planStep = eveningStep.omit({ cautions: true }).extend({ t: seconds, moved: z.number() });
export type PlanStep = z.infer<typeof planStep>;

export const livePlan = z.object({
  /** The clock of the plan, which in a rehearsal of it is not the wall's. */
  at: z.iso.datetime(),
  serveAt: z.iso.datetime(),
  steps: z.array(planStep),
  gives: z.array(z.string()),
  /** Id of the step that is to be done now or soon; null with none, where the plan does not fit, or is of another day. */
  next: z.string().nullable(),
  lastOffAt: z.iso.datetime(),
  ...fit.shape,
});
export type LivePlan = z.infer<typeof livePlan>;

/** What to do with a pizza on the stone. Times in s of the cook. */
export const liveGuide = z.object({
  pizza: z.string(),
  action: z.enum(['wait', 'turn', 'look', 'off']),
  turnAt: seconds,
  lookAt: seconds,
  offAt: seconds,
  warning: z.object({ text: z.string(), cure: z.string() }).nullable(),
  /** What earlier verdicts changed, in words. */
  lesson: z.string(),
  /** Why the time stands where it does, one sentence; null while it is the person's own. */
  why: z.string().nullable(),
  /** The person set the times of this pizza: they are not moved. */
  byHand: z.boolean(),
});
export type LiveGuide = z.infer<typeof liveGuide>;

/** The next pizza for the stone. */
export const livePrompt = z.object({
  pizza: z.string(),
  action: z.enum(['wait', 'stretch', 'top', 'launch', 'hold']),
  text: z.string(),
  stage: z.enum(['ball', 'stretched', 'topped']),
  launchAt: z.number(),
});

/** `count` of what is bought by the piece. */
const bought = z.object({ name: z.string(), grams: z.number(), count: z.number().int().optional() });
export type Bought = z.infer<typeof bought>;

const planAnswer = z.object({
  draft: planDraft,
  /** As first worked out. */
  evening,
  happened: z.array(happening),
  now: livePlan,
  /** A better order of the run, with the reason for each place; places count from 0. */
  proposal: z.array(z.object({ place: z.number().int(), reason: z.string() })),
  /** What of each pizza of the run does not go with its eater's diet, one sentence. */
  clashes: z.array(z.string().nullable()),
  /** All that has to be in the house, g. */
  shopping: z.array(bought),
  /** Of it, the parts of the sauce. */
  sauce: z.array(bought),
});
export type PlanAnswer = z.infer<typeof planAnswer>;

export const planStart = z.object({
  plan: planAnswer.nullable(),
  guests: z.array(guest),
  /** A plan was dropped that can be taken back. */
  dropped: z.boolean(),
});
export type PlanStart = z.infer<typeof planStart>;

export const formulaList = z.object({ formulas: z.array(formula) });

/**
 * What the verdicts say. `ln` is that of the factor on what the taste wants (less than 0: off sooner), `error` one
 * standard deviation; `pizzas` is how many verdicts speak, `own` of them the eater's, `words` how the page shows it.
 */
const lesson = z.object({
  ln: z.number(),
  error: z.number(),
  pizzas: z.number(),
  own: z.number(),
  words: z.string(),
});
export type Lesson = z.infer<typeof lesson>;
export const lessonList = z.object({
  lessons: z.array(z.object({ eater: z.string(), base: lesson, top: lesson })),
});
export type LessonList = z.infer<typeof lessonList>;

export const summaryAnswer = z.object({
  sentences: z.array(z.string()),
  change: z.array(z.object({ text: z.string(), why: z.string() })),
  /** The formulas of dough and sauce, and the advice on the stone's setting; null where nothing is known. */
  formula: z.string().nullable(),
  setting: z.string().nullable(),
});
export type SummaryAnswer = z.infer<typeof summaryAnswer>;

export const trendList = z.object({
  trends: z.array(
    z.object({
      name: z.string(),
      points: z.array(z.object({ label: z.string(), value: z.number() })),
      mean: z.number(),
      perCook: z.number().nullable(),
      error: z.number().nullable(),
      words: z.string().nullable(),
    }),
  ),
});
export type TrendList = z.infer<typeof trendList>;

export const stoneAnswer = z.object({
  setup: stoneSetup,
  /** Where the dough touches a stone in the middle of the band, °C. */
  contactC: z.number(),
  /** Where to begin with this plate, °C. */
  equalBand: z.tuple([z.number(), z.number()]),
  equalText: z.string(),
  soakMinutes: z.number(),
  /** From the last cook's settled stone and dome. */
  advice: z.string().nullable(),
});
export type StoneAnswer = z.infer<typeof stoneAnswer>;
