import { z } from 'zod';
import { ALERTS } from '../alert/kinds.ts';
import { ALERT_STATES, QUALITIES, ROLES, STONE_STATES, URGENCIES } from '../words.ts';

/**
 * What is published to the user's MQTT broker, retained, while a real cook is on; a rehearsal is not. Times are instants,
 * ISO 8601 in UTC; temperatures °C, rates °C/min.
 */

const nullableNumber = z.number().nullable();
const instant = z.iso.datetime();
const nullableInstant = instant.nullable();

/** Topic `status`: `gone` is the last will, so that it comes without us. */
const publishedStatus = z.object({ status: z.enum(['here', 'gone']) });

/** Topic `reading/CHANNEL`, once a reading; what is silent or has no value is `bad` and null, so that none is taken twice. */
const publishedReading = z.object({
  channel: z.string(),
  role: z.enum(ROLES),
  name: z.string(),
  celsius: nullableNumber,
  quality: z.enum(QUALITIES),
  /** Why it is not good, in words. */
  reason: z.string().optional(),
  /** When it was measured; null before the first. */
  at: nullableInstant,
});
export type PublishedReading = z.infer<typeof publishedReading>;

/** Topic `state`, whenever it changes; with no cook the state is `blind`. */
export const publishedState = z.object({
  state: z.enum(STONE_STATES),
  since: nullableInstant,
  lidOpen: z.boolean(),
  cook: z.object({ id: z.number().int(), name: z.string(), startedAt: instant }).nullable(),
});

/** Topic `forecast`, every 10 s at most. Errors are one standard error, the range of `readyBetween` is 80 %. */
export const publishedForecast = z.object({
  at: instant,
  stone: nullableNumber,
  stoneError: nullableNumber,
  perMinute: nullableNumber,
  dome: nullableNumber,
  domePerMinute: nullableNumber,
  /** When the stone enters its band from below. */
  bandAt: nullableInstant,
  readyAt: nullableInstant,
  readyBetween: z.tuple([instant, instant]).nullable(),
  peak: z.object({ celsius: z.number(), at: instant }).nullable(),
  overAt: nullableInstant,
  fadesAt: nullableInstant,
});

/** Topic `alerts`: those that stand, whenever one changes. */
export const publishedAlerts = z.object({
  alerts: z.array(
    z.object({
      alert: z.enum(ALERTS),
      state: z.enum(ALERT_STATES).exclude(['normal']),
      urgency: z.enum(URGENCIES),
      message: z.string(),
      raisedAt: instant,
      pizza: z.string().optional(),
    }),
  ),
});

/** Below the user's prefix, by their topics: the schema of each, and how it is described. */
export const PUBLISHED = {
  status: { schema: publishedStatus, summary: 'Whether this peelside is there; gone is its last will.' },
  'reading/{channel}': { schema: publishedReading, summary: 'The last reading of a channel.' },
  state: { schema: publishedState, summary: 'The stone’s state and the cook.' },
  forecast: { schema: publishedForecast, summary: 'Where the stone and the dome are going.' },
  alerts: { schema: publishedAlerts, summary: 'The alerts that stand.' },
} as const;
