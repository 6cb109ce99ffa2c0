import { z } from 'zod';
import { settings } from '../../shared/api/api.ts';
import { aroundCook, lookupName } from '../../shared/bounds.ts';
import { escalation } from '../../shared/api/escalation.ts';
import { formula } from '../../shared/evening/formula.ts';
import { guest, planDraft } from '../../shared/evening/plan.ts';
import type { RecordingLine } from '../../shared/recording.ts';
import type { EngineRecord, Picture } from './store.ts';

/** What the JSON of our rows must be so that nobody who reads it comes to grief. */

const why = z.record(z.string(), z.union([z.number(), z.string()]));
const t = aroundCook;

/** Its lines are checked whole where they are gone through again; an export hands them on as they are. */
export const lineShape = z.looseObject({ t }) as unknown as z.ZodType<RecordingLine>; // the rest is for who reads it

export const markShape = z.discriminatedUnion('type', [
  z.looseObject({ type: z.literal('state'), t, state: z.string(), why }),
  z.looseObject({ type: z.literal('alert'), t, alert: z.string(), message: z.string(), why }),
  z.looseObject({ type: z.literal('alert-state'), t, alert: z.string(), state: z.string() }),
  z.looseObject({ type: z.literal('noticed'), t, event: z.string(), at: t, why }),
]) as unknown as z.ZodType<EngineRecord>; // names of states and alerts may be an older peelside's

export const pictureShape: z.ZodType<Picture> = z.record(
  lookupName(64),
  z.array(z.tuple([z.number(), z.number()])),
);

const anyObject = z.looseObject({});

const prior = z.object({ version: z.number(), cooks: z.number(), values: z.record(z.string(), z.number()) });
const taught = { startedAt: z.number(), outside: z.number().nullable(), minutes: z.number().nullable() };

/** Settings by their key; what is not here is a cook's own. */
const SETTINGS: Record<string, z.ZodType> = {
  settings,
  escalation,
  escalated: z.array(z.string()),
  'grill-prior': prior.nullable(),
  grills: z.object({
    current: z.string(),
    grills: z.array(
      z.object({
        name: z.string(),
        prior: prior.nullable(),
        taught: z.array(z.object(taught)),
        aside: z.array(z.object({ ...taught, cook: z.number(), prior })),
      }),
    ),
  }),
  'time-anchor': z
    .object({ cook: z.number(), boot: z.string(), ms: z.number(), t: z.number().min(0).max(1e7) })
    .nullable(),
  plan: z
    .looseObject({ draft: planDraft, happened: z.array(anyObject), cook: z.number().nullable() })
    .nullable(),
  guests: z.array(guest),
  forgotten: z.array(z.object({ eater: z.string().nullable(), before: z.number() })),
  formulas: z.array(formula),
  importing: z.array(z.number()),
  examples: z.object({ ids: z.array(z.number()), removed: z.boolean() }),
};
/** What the value of a setting must be; it is handed on as it is, since who reads it knows its defaults. */
export const settingShape = (key: string): z.ZodType =>
  z.unknown().refine((value) => SETTINGS[key]?.safeParse(value).success ?? true, 'not what it should be');
