import { z } from 'zod';
import { stoneSetup } from './evening.ts';
import { liveCook } from './live.ts';
import { pizza, pizzaReview } from './pizza.ts';
import { targets } from './targets.ts';
import { ABSURD_ABOVE, ABSURD_BELOW, UNITS } from './units.ts';
import { QUALITIES, ROLES } from './words.ts';

/** Bodies and answers of the HTTP API. The routes validate with these and `GET /api/openapi.json` is made from them. */

const celsius = z
  .number()
  .min(ABSURD_BELOW, 'a temperature in °C lies between absolute zero and 1800')
  .max(ABSURD_ABOVE, 'a temperature in °C lies between absolute zero and 1800');
const fahrenheit = z
  .number()
  .min(-459.67, 'a temperature in °F lies between absolute zero and 3272')
  .max(3272, 'a temperature in °F lies between absolute zero and 3272');

export const postedReading = z
  .object({
    channel: z.string().min(1).max(64),
    celsius: celsius.optional(),
    fahrenheit: fahrenheit.optional(),
    at: z.iso.datetime({ offset: true }).optional(),
  })
  .refine(
    (x) => (x.celsius === undefined) !== (x.fahrenheit === undefined),
    'a reading has either celsius or fahrenheit',
  );
export const postReadings = z.object({ readings: z.array(postedReading).min(1).max(10_000) });
export type PostedReading = z.infer<typeof postedReading>;

/** A reading typed in from an infrared thermometer. `surface` names a row of the emissivity table. */
export const postSpot = z
  .object({
    channel: z.string().min(1).max(64),
    celsius: celsius.optional(),
    fahrenheit: fahrenheit.optional(),
    surface: z.string().max(80).default('cordierite'),
    emissivitySet: z.number().gt(0).max(1).default(0.95),
    /** Temperature that the surface reflects, °C: the sky or you with the lid open, the dome with it closed. */
    reflected: celsius.default(20),
  })
  .refine(
    (x) => (x.celsius === undefined) !== (x.fahrenheit === undefined),
    'a spot reading has either celsius or fahrenheit',
  );
export type PostSpot = z.infer<typeof postSpot>;

export const startCook = z.object({ name: z.string().max(200).optional(), targets: targets.optional() });
export const patchCook = z
  .object({
    name: z.string().max(200),
    notes: z.string().max(20_000),
    ended: z.literal(true),
    deleted: z.boolean(),
  })
  .partial();

export const shelve = z.object({ minutes: z.number().min(1).max(120) });

export const rehearsalAct = z.discriminatedUnion('do', [
  z.object({
    do: z.literal('start'),
    file: z.string().max(200).optional(),
    pace: z.number().min(1).max(10_000).optional(),
  }),
  z.object({ do: z.literal('pause') }),
  z.object({ do: z.literal('resume') }),
  z.object({ do: z.literal('pace'), pace: z.number().min(1).max(10_000) }),
  z.object({ do: z.literal('seek'), t: z.number().min(0) }),
  z.object({ do: z.literal('leave') }),
]);

const setting = {
  unit: z.enum(UNITS),
  targets,
  turnAfter: z.number().min(20).max(3600),
  offAfter: z.number().min(30).max(7200),
  recordRaw: z.boolean(),
  stone: stoneSetup,
  /** Ids of the cautions that need not be said again. */
  dismissed: z.array(z.string().max(64)).max(100),
};
export const settings = z.object({
  /** null until somebody chooses: each screen's locale decides. */
  unit: setting.unit.nullable().default(null),
  targets: targets.default({ stone: [255, 285], dome: [235, 275], domeLimit: 370 }),
  turnAfter: setting.turnAfter.default(210),
  offAfter: setting.offAfter.default(450),
  recordRaw: setting.recordRaw.default(true),
  stone: stoneSetup.prefault({}),
  dismissed: setting.dismissed.default([]),
});
export type Settings = z.infer<typeof settings>;
/** Without the defaults: what is not named stays as it is. */
export const patchSettings = z.object(setting).partial();

export const accepted = z.object({ accepted: z.number().int() });
export const spotAnswer = z.object({
  celsius: z.number(),
  quality: z.enum(QUALITIES),
  reason: z.string().optional(),
});
export const eventAnswer = z.object({ id: z.string(), t: z.number() });

/** One row of the list of past cooks. `picture` is a thinned curve a channel: [t, °C] pairs. */
export const cookRow = z.object({
  ...liveCook.shape,
  notes: z.string(),
  seconds: z.number(),
  pizzas: z.number().int(),
  right: z.number().int(),
  scorched: z.number().int(),
  pale: z.number().int(),
  overshoots: z.number().int(),
  picture: z.record(z.string(), z.array(z.tuple([z.number(), z.number()]))),
});
export type CookRow = z.infer<typeof cookRow>;
export const cookList = z.object({ cooks: z.array(cookRow) });

export const storedReading = z.object({
  channel: z.string(),
  at: z.iso.datetime(),
  /** Seconds since the cook started. */
  t: z.number(),
  celsius: z.number().nullable(),
  quality: z.enum(QUALITIES),
  reason: z.string().optional(),
});
export const readingList = z.object({ readings: z.array(storedReading) });

/** A state, alert or noticing with the numbers that made it, at its place of the curve. */
export const cookMark = z.object({
  id: z.string(),
  t: z.number(),
  kind: z.enum(['event', 'state', 'alert', 'noticed']),
  name: z.string(),
  text: z.string(),
  pizza: z.string().optional(),
  undone: z.boolean().optional(),
  why: z.record(z.string(), z.union([z.number(), z.string()])),
});
export type CookMark = z.infer<typeof cookMark>;

export const cookDetail = z.object({
  ...cookRow.shape,
  channels: z.array(z.object({ id: z.string(), role: z.enum(ROLES), name: z.string() })),
  run: z.array(z.object({ pizza, review: pizzaReview })),
  marks: z.array(cookMark),
});
export type CookDetail = z.infer<typeof cookDetail>;

/** RFC 9457 problem document. `at` names the entry that is wrong. */
export const problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string(),
  at: z.string().optional(),
});
export type Problem = z.infer<typeof problem>;

export const health = z.object({
  status: z.literal('ok'),
  version: z.string(),
  schema: z.number().int(),
  cook: z.number().int().nullable(),
});
