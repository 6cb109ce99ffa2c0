import { z } from 'zod';
import { taste } from './evening.ts';
import { VERDICTS } from './words.ts';

/** How far a pizza has got before the stone. */
export const STAGES = ['ball', 'stretched', 'topped'] as const;

/** What a pizza had when it came off, and what its taste wanted before any learning: s at the reference stone and dome. */
const baked = z.object({
  base: z.number(),
  top: z.number(),
  wantedBase: z.number(),
  wantedTop: z.number(),
  /** °C by which it drew the stone down, where that was seen. */
  drew: z.number().nullable(),
});

/** One pizza of a cook. Times are seconds since the cook started; durations are seconds. */
export const pizzaWish = z.object({
  name: z.string().max(80).default(''),
  eater: z.string().max(80).default(''),
  /** How they like it, in words ("thin and crisp", "chewy and pale"). */
  likes: z.string().max(200).default(''),
  turnAfter: z.number().min(20).max(3600).nullable().default(210),
  offAfter: z.number().min(30).max(7200).default(450),
  taste: taste.optional(),
});

export const pizza = z.object({
  id: z.string().max(64),
  ...pizzaWish.shape,
  /** Place in the run, from 0. */
  place: z.number().int().min(0),
  launchedAt: z.number().nullable().default(null),
  turnedAt: z.number().nullable().default(null),
  offAt: z.number().nullable().default(null),
  base: z.enum(VERDICTS).nullable().default(null),
  top: z.enum(VERDICTS).nullable().default(null),
  notes: z.string().max(4000).default(''),
  stage: z.enum(STAGES).optional(),
  /** When it got there, s. */
  stagedAt: z.number().optional(),
  baked: baked.optional(),
});
export type Pizza = z.infer<typeof pizza>;

export const pizzaPatch = z
  .object({
    name: z.string().max(80),
    eater: z.string().max(80),
    likes: z.string().max(200),
    turnAfter: z.number().min(20).max(3600).nullable(),
    offAfter: z.number().min(30).max(7200),
    place: z.number().int().min(0).max(1000),
    base: z.enum(VERDICTS).nullable(),
    top: z.enum(VERDICTS).nullable(),
    notes: z.string().max(4000),
    taste,
    stage: z.enum(STAGES),
  })
  .partial();
export type PizzaPatch = z.infer<typeof pizzaPatch>;

/** What the curves say of a baked pizza, for the review. °C and seconds; null where the readings do not tell. */
export const pizzaReview = z.object({
  id: z.string(),
  stoneAtLaunch: z.number().nullable(),
  domeAtLaunch: z.number().nullable(),
  /** How far the stone fell below its launch temperature while the pizza lay there. */
  drawDown: z.number().nullable(),
  /** From off until the stone was back in its band. */
  recoverySeconds: z.number().nullable(),
  bakeSeconds: z.number().nullable(),
});
export type PizzaReview = z.infer<typeof pizzaReview>;
