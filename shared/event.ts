import { z } from 'zod';
import { probe } from './probe.ts';
import { targets } from './targets.ts';
import { ALERTS, NOTICED } from './words.ts';

/**
 * What a person (or the engine, asked and answered) says happened. Events are lines of a recording and rows of the
 * store; the engine takes them beside the readings. `id` names an event so that `undo` can take it back.
 */
const base = { id: z.string().max(64).optional(), note: z.string().max(2000).optional() };
const pizza = z.string().max(64).optional();
const seconds = z.number().min(5).max(7200);

export const cookEvent = z.discriminatedUnion('event', [
  z.object({ ...base, event: z.literal('fire-lit') }),
  z.object({ ...base, event: z.literal('vent') }),
  z.object({ ...base, event: z.literal('fuel') }),
  z.object({ ...base, event: z.literal('note') }),
  z.object({ ...base, event: z.literal('lid-open') }),
  z.object({ ...base, event: z.literal('lid-closed') }),
  /** `turnAfter` and `offAfter`, seconds after the launch, are that pizza's own; absent means the engine's defaults. */
  z.object({
    ...base,
    event: z.literal('launch'),
    pizza,
    turnAfter: seconds.optional(),
    offAfter: seconds.optional(),
    /** Seconds before now that it truly happened, when tapped late. */
    ago: z.number().min(0).max(3600).optional(),
  }),
  z.object({ ...base, event: z.literal('turn'), pizza }),
  z.object({ ...base, event: z.literal('off'), pizza, ago: z.number().min(0).max(3600).optional() }),
  /** New times for a pizza that is on the stone (live bake guidance moves them). */
  z.object({
    ...base,
    event: z.literal('bake-times'),
    pizza,
    turnAfter: seconds.optional(),
    offAfter: seconds.optional(),
  }),
  z.object({ ...base, event: z.literal('targets'), ...targets.partial().shape }),
  z.object({ ...base, event: z.literal('acknowledge'), alert: z.enum(ALERTS) }),
  z.object({
    ...base,
    event: z.literal('shelve'),
    alert: z.enum(ALERTS),
    seconds: z.number().min(10).max(7200),
  }),
  z.object({ ...base, event: z.literal('unshelve'), alert: z.enum(ALERTS) }),
  /** The person's answer to "Launched 20 s ago?": a yes makes it an event at `at`, a no teaches the noticing. */
  z.object({
    ...base,
    event: z.literal('answer'),
    noticed: z.enum(NOTICED),
    at: z.number(),
    yes: z.boolean(),
    pizza,
  }),
  z.object({ ...base, event: z.literal('undo'), of: z.string().max(64) }),
  /** The probes as they are from here on, so that a recording replays through the mapping of its moment. */
  z.object({ ...base, event: z.literal('probes'), probes: z.array(probe).max(200) }),
]);
export type CookEvent = z.infer<typeof cookEvent>;
export type CookEventName = CookEvent['event'];
