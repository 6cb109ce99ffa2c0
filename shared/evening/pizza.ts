import { MAX_AGO_SECONDS } from '../event.ts';
import { z } from 'zod';
import { aroundCook, lookupName } from '../bounds.ts';
import { taste } from './evening.ts';
import { VERDICTS } from '../words.ts';

/** How far a pizza has got before the stone. */
const STAGES = ['ball', 'stretched', 'topped'] as const;

const falls = z.array(z.number().nullable()).max(40);
/**
 * What a pizza had when it came off, and what its taste wanted before any learning, in seconds of a bake in the middle
 * of the person's band. `wantedBase` is thus their own time, with the taste. `top` is null without a dome
 * reading.
 */
const baked = z.object({
  had: z.number(),
  top: z.number().nullable(),
  wantedBase: z.number(),
  wantedTop: z.number(),
  /** Which stone lay in the grill: "cordierite 15 mm". */
  stone: z.string().max(120),
  /** Share by which the probes of stone and dome fell, at fixed times after the launch; null where that was not seen. */
  fall: falls,
  domeFall: falls,
});
/**
 * As written before: seconds at a stone of 270 and a dome of 250 °C, which mean nothing at another temperature. Of it
 * only what was wanted is read, beside the clock.
 */
const bakedBefore = z.object({
  base: z.number(),
  top: z.number(),
  wantedBase: z.number(),
  wantedTop: z.number(),
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
  id: lookupName(64),
  ...pizzaWish.shape,
  /** Place in the run, from 0. */
  place: z.number().int().min(0).max(1000),
  launchedAt: aroundCook.nullable().default(null),
  turnedAt: aroundCook.nullable().default(null),
  offAt: aroundCook.nullable().default(null),
  base: z.enum(VERDICTS).nullable().default(null),
  top: z.enum(VERDICTS).nullable().default(null),
  notes: z.string().max(4000).default(''),
  stage: z.enum(STAGES).optional(),
  /** When it got there, s. */
  stagedAt: aroundCook.optional(),
  baked: z.union([baked, bakedBefore]).optional(),
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

/**
 * What the page showed when its key was tapped: who lay on the stone, whether the pizza was turned. A command whose
 * page showed something else is refused; what is not named is not looked at.
 */
export const pizzaExpects = z
  .object({ onStone: z.array(z.string().max(64)).max(100), turned: z.boolean() })
  .partial();
export type PizzaExpects = z.infer<typeof pizzaExpects>;

export const pizzaEarlier = z.object({ seconds: z.number().min(1).max(MAX_AGO_SECONDS) });

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
