import { z } from 'zod';
import { cookSeconds, lookupName } from '../bounds.ts';
import { stoneSetup } from '../evening/evening.ts';
import { liveCook } from './live.ts';
import { photo } from '../evening/photo.ts';
import { pizza, pizzaReview } from '../evening/pizza.ts';
import { targets } from '../targets.ts';
import { HIGHEST_CELSIUS, LOWEST_CELSIUS, UNITS } from '../units.ts';
import { QUALITIES, ROLES } from '../words.ts';

/** Bodies and answers of the HTTP API. The routes validate with these and `GET /api/openapi.json` is made from them. */

const celsius = z
  .number()
  .min(LOWEST_CELSIUS, 'a temperature in °C lies between absolute zero and 1800')
  .max(HIGHEST_CELSIUS, 'a temperature in °C lies between absolute zero and 1800');
const fahrenheit = z
  .number()
  .min(-459.67, 'a temperature in °F lies between absolute zero and 3272')
  .max(3272, 'a temperature in °F lies between absolute zero and 3272');

const postedReading = z
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
    /** What a page gives, sent again, is the same look: `tap-` and a random part. */
    id: lookupName(64).optional(),
    /** Seconds before now that it was looked at, where the page had to hold it. */
    ago: z.number().min(0).max(3600).optional(),
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
    /** Begins shortly before the first launch instead of at the start. */
    skip: z.boolean().optional(),
    /** The person does it: what the recording's people tapped is left out. */
    isDone: z.boolean().optional(),
    /** Ends a real cook that is running; without it the answer is 409 then. */
    instead: z.boolean().optional(),
  }),
  z.object({ do: z.literal('pause') }),
  z.object({ do: z.literal('resume') }),
  z.object({ do: z.literal('pace'), pace: z.number().min(1).max(10_000) }),
  z.object({ do: z.literal('seek'), t: cookSeconds }),
  /** Plays on by so many seconds of the recording at once, and then stands still. */
  z.object({ do: z.literal('step'), seconds: z.number().min(1).max(300) }),
  z.object({ do: z.literal('leave') }),
]);

const setting = {
  unit: z.enum(UNITS),
  targets,
  /** Null: no turn. */
  turnAfter: z.number().min(20).max(3600).nullable(),
  offAfter: z.number().min(30).max(7200),
  recordRaw: z.boolean(),
  stone: stoneSetup,
};
export const settings = z.object({
  /** null until somebody chooses: each screen's locale decides. */
  unit: setting.unit.nullable().default(null),
  targets: targets.default({ stone: [255, 285], dome: [235, 275], domeLimit: 370 }),
  turnAfter: setting.turnAfter.default(210),
  offAfter: setting.offAfter.default(450),
  recordRaw: setting.recordRaw.default(true),
  stone: stoneSetup.prefault({}),
});
export type Settings = z.infer<typeof settings>;
/** Without the defaults: what is not named stays as it is. */
export const patchSettings = z
  .object({
    ...setting,
    /** The unit of a screen's locale: taken only where nobody has chosen a unit. */
    unitOfLocale: setting.unit,
  })
  .partial();
export type SettingsPatch = z.infer<typeof patchSettings>;

export const accepted = z.object({ accepted: z.number().int() });
export const spotAnswer = z.object({
  /** Names the look, for `DELETE /api/events/ID` to take it back. */
  id: z.string(),
  celsius: z.number(),
  quality: z.enum(QUALITIES),
  reason: z.string().optional(),
});
export type SpotAnswer = z.infer<typeof spotAnswer>;
export const eventAnswer = z.object({ id: z.string(), t: z.number() });

const smallCurve = z.array(z.tuple([z.number(), z.number()]));

/** One row of the list of past cooks. `picture` is a thinned curve a channel: [t, °C] pairs. */
const cookRow = z.object({
  ...liveCook.shape,
  notes: z.string(),
  /** One of the synthetic cooks that come with peelside. */
  isExample: z.boolean(),
  seconds: z.number(),
  pizzas: z.number().int(),
  right: z.number().int(),
  scorched: z.number().int(),
  pale: z.number().int(),
  overshoots: z.number().int(),
  /** No launch, nothing entered by a person, and hardly any change: a probe that was left on. */
  isEmpty: z.boolean(),
  picture: z.record(z.string(), smallCurve),
});
export type CookRow = z.infer<typeof cookRow>;
/** A deleted cook, and the instant from which on it can't be brought back. */
export const deletedList = z.object({ cooks: z.array(cookRow.extend({ goneAt: z.iso.datetime() })) });
export type DeletedCook = z.infer<typeof deletedList>['cooks'][number];
export const cookList = z.object({
  cooks: z.array(cookRow),
  /** Whether the example cooks are still to be made: there is no real one, and nobody removed them. */
  examplesDue: z.boolean(),
});

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

/** Seconds since the cook started, the stone as it was estimated, °C, and one standard error of that, °C. */
const stoneEstimate = z.tuple([z.number(), z.number(), z.number()]);
export type StoneEstimate = z.infer<typeof stoneEstimate>;
export const estimateList = z.object({ estimates: z.array(stoneEstimate) });

/** A state, alert or noticing with the numbers that made it, at its place of the curve. */
const cookMark = z.object({
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
  run: z.array(
    z.object({
      pizza,
      review: pizzaReview,
      photos: z.array(photo),
      /** Small curves around the bake: [s after the launch, °C]. */
      curve: z.object({ stone: smallCurve, dome: smallCurve }),
    }),
  ),
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
  /** Writes left out since the start, because they can never be kept. */
  dropped: z.number().int(),
});
