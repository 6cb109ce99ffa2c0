import { z } from 'zod';
import { bleLine } from '../../../../shared/recording.ts';
import { bleSubscription } from '../../subscription.ts';
import { RADIO_STATES } from '../radio/radio.ts';

/** The messages between the server and its radio process. Both ends check: a process that went wrong sends anything. */
export const toChild = z.discriminatedUnion('type', [
  z.object({ type: z.literal('subscribe'), subscriptions: z.array(bleSubscription).max(500) }),
  z.object({ type: z.literal('look'), subscription: bleSubscription, seconds: z.number().min(0).max(600) }),
  z.object({ type: z.literal('stop') }),
]);
export type ToChild = z.infer<typeof toChild>;

const text = z.string().max(300);
const part = z.object({
  service: text.optional(),
  characteristic: text.optional(),
  instance: z.number().int().optional(),
  advert: text.optional(),
  name: text.optional(),
  format: text.optional(),
});
const device = z.object({
  id: text.min(1),
  name: text.optional(),
  rssi: z.number().optional(),
  battery: z.number().optional(),
  link: z.enum(['seen', 'connecting', 'connected', 'lost']),
  parts: z.array(part).max(400).optional(),
  problem: text.optional(),
});

export const fromChild = z.discriminatedUnion('type', [
  z.object({ type: z.literal('heartbeat') }),
  z.object({ type: z.literal('state'), state: z.enum(RADIO_STATES) }),
  z.object({ type: z.literal('devices'), devices: z.array(device).max(1000) }),
  z.object({ type: z.literal('links'), handles: z.array(z.number().int()).max(100) }),
  z.object({ type: z.literal('frame'), line: bleLine.omit({ t: true }) }),
  /** Its last words: why it ends itself. */
  z.object({ type: z.literal('ends'), why: text }),
]);
export type FromChild = z.infer<typeof fromChild>;

/** The child sends a heartbeat so often, ms; several missed ones are a hang. */
export const HEARTBEAT_MS = 500;
