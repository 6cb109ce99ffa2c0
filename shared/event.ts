import { z } from 'zod';
import { aroundCook, lookupName } from './bounds.ts';
import { probe } from './probe.ts';
import { targets } from './targets.ts';
import { ALERTS } from './alert/kinds.ts';
import { NOTICED } from './words.ts';

/**
 * What a person (or the engine, asked and answered) says happened. Events are lines of a recording and rows of the
 * store; the engine takes them beside the readings. `id` names an event so that `undo` can take it back.
 */
const base = { id: lookupName(64).optional(), note: z.string().max(2000).optional() };
const pizza = lookupName(64).optional();
const seconds = z.number().min(5).max(7200);
/** What is put further into the past than this, s, was no late tap. */
export const MAX_AGO_SECONDS = 3600;
/** What hands do at the grill. `ago`: seconds before now that it truly happened, where it was tapped late or sent late. */
const deed = { ...base, ago: z.number().min(0).max(MAX_AGO_SECONDS).optional() };

export const cookEvent = z.discriminatedUnion('event', [
  z.object({ ...deed, event: z.literal('fire-lit') }),
  z.object({ ...deed, event: z.literal('vent') }),
  z.object({ ...deed, event: z.literal('fuel') }),
  z.object({ ...deed, event: z.literal('note') }),
  z.object({ ...deed, event: z.literal('lid-open') }),
  z.object({ ...deed, event: z.literal('lid-closed') }),
  /** `turnAfter` and `offAfter`, seconds after the launch, are that pizza's own; absent means the engine's defaults. A null is no turn. */
  z.object({
    ...deed,
    event: z.literal('launch'),
    pizza,
    turnAfter: seconds.nullable().optional(),
    offAfter: seconds.optional(),
  }),
  z.object({ ...deed, event: z.literal('turn'), pizza }),
  z.object({ ...deed, event: z.literal('off'), pizza }),
  /** New times for a pizza that is on the stone (live bake guidance moves them). */
  z.object({
    ...base,
    event: z.literal('bake-times'),
    pizza,
    turnAfter: seconds.nullable().optional(),
    offAfter: seconds.optional(),
    /** The person's own times, where guidance moved the pizza from them. */
    ownTurnAfter: seconds.nullable().optional(),
    ownOffAfter: seconds.optional(),
    /** Why, in one sentence. */
    why: z.string().max(300).optional(),
    /** Who moved them, where it was no person. */
    by: z.enum(['guidance', 'undo']).optional(),
  }),
  /** A pizza that waited is taken out of the run; undone, it is back at its place. */
  z.object({ ...base, event: z.literal('remove-pizza'), pizza: lookupName(64) }),
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
    at: aroundCook,
    yes: z.boolean(),
    pizza,
  }),
  /** A caution was read: it is not shown again in this cook. */
  z.object({ ...base, event: z.literal('caution-seen'), caution: z.string().max(64) }),
  z.object({ ...base, event: z.literal('undo'), of: z.string().max(64) }),
  /** The probes as they are from here on, so that a recording replays through the mapping of its moment. */
  z.object({ ...base, event: z.literal('probes'), probes: z.array(probe).max(200) }),
]);
export type CookEvent = z.infer<typeof cookEvent>;
export type CookEventName = CookEvent['event'];

/**
 * A look that a person typed in, as the record of a cook lists it beside the events: its line is a spot reading, which stays
 * when an `undo` strikes it out. °C as it was taken in.
 */
const lookEvent = z.object({
  ...base,
  event: z.literal('look'),
  channel: lookupName(64),
  celsius: z.number(),
});
/** What an entry of the record may be. */
export const recordedEvent = z.union([cookEvent, lookEvent]);
export type RecordedEvent = z.infer<typeof recordedEvent>;

/** An id that a page gave a tap: sent again it is the same tap. Any other is the server's to give. */
export const isTap = (id: string | undefined): id is string =>
  id !== undefined && /^tap-[\w-]{8,60}$/.test(id);
