import { z } from 'zod';
import { address, brokerAccess, topicName } from './broker.ts';

/** Where urgent alerts go that nobody on a page has seen. Both ways are off until the user sets them. */

const webhook = z.object({
  url: address(['http:', 'https:'], 'https://home.example/hook'),
  /** Signs what is sent; where it is left out, the one that is kept stays. */
  secret: z.string().min(16).max(200).optional(),
});
export const broker = brokerAccess.extend({ topic: topicName.default('peelside/alert') });

export const escalation = z.object({
  /** An urgent alert that nobody acknowledges for so long goes out, s. */
  afterSeconds: z.number().int().min(10).max(1800).default(60),
  webhook: webhook.extend({ secret: webhook.shape.secret.unwrap() }).nullable().default(null),
  mqtt: broker.nullable().default(null),
});
export type Escalation = z.infer<typeof escalation>;
export type Webhook = NonNullable<Escalation['webhook']>;
export type Broker = NonNullable<Escalation['mqtt']>;

/** Null turns one off; what is not named stays. */
export const patchEscalation = z
  .object({
    afterSeconds: escalation.shape.afterSeconds.unwrap(),
    webhook: webhook.nullable(),
    mqtt: broker.nullable(),
  })
  .partial();
export type PatchEscalation = z.infer<typeof patchEscalation>;

const target = { origin: z.string(), error: z.string().nullable() };
/**
 * What is set, without anything secret: of an address only where it leads. `error` is why the last try
 * failed.
 */
export const escalationView = z.object({
  afterSeconds: z.number(),
  webhook: z.object(target).nullable(),
  mqtt: z.object({ ...target, topic: z.string(), version: z.string() }).nullable(),
});
export type EscalationView = z.infer<typeof escalationView>;

/** What is sent, as JSON. `id` is the same however often it is sent. */
export const escalated = z.object({
  id: z.string(),
  alert: z.string(),
  message: z.string(),
  reason: z.enum(['no-page', 'unacknowledged', 'test']),
  cook: z.object({ id: z.number(), name: z.string() }).nullable(),
  pizza: z.string().nullable(),
  raisedAt: z.iso.datetime(),
});
export type Escalated = z.infer<typeof escalated>;
