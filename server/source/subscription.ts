import { z } from 'zod';
import { topicFilter } from '../../shared/api/broker.ts';
import type { Probe } from '../../shared/probe.ts';

/**
 * A subscription: what a source must do so that a probe gets its frames. A probe that names less gets what
 * the standards say.
 */
const hex = z.string().regex(/^([0-9a-fA-F]{2})+$/, 'bytes are written as hexadecimal pairs');
const every = z.number().min(0.2).max(3600);

export const bleSubscription = z.object({
  source: z.literal('ble'),
  device: z.string().min(1).max(120),
  /**
   * Beyond the standard thermometer services: one characteristic, subscribed to, or read `every` so many
   * seconds.
   */
  service: z.string().max(40).optional(),
  characteristic: z.string().max(40).optional(),
  /** Only this advertisement is subscribed to, so that no connection is made. */
  advert: z.string().max(40).optional(),
  /**
   * Bytes to write once after connecting, to `startAt` (a characteristic of the same service; else the same
   * one).
   */
  start: hex.optional(),
  startAt: z.string().max(40).optional(),
  every: every.optional(),
});
export type BleSubscription = z.infer<typeof bleSubscription>;

/** Modbus RTU: registers that are read over and over. `first` is the address on the wire, from 0. */
export const modbusPoll = z.object({
  unit: z.number().int().min(1).max(247),
  registers: z.enum(['input', 'holding']).default('input'),
  first: z.number().int().min(0).max(65_535).default(0),
  count: z.number().int().min(1).max(125).default(8),
  every: every.default(1),
});
export type ModbusPoll = z.infer<typeof modbusPoll>;

const serialSubscription = z.object({
  source: z.literal('serial'),
  port: z.string().min(1).max(200),
  /** Bits a second; absent = found by trying. */
  rate: z.number().int().min(300).max(1_000_000).optional(),
  modbus: modbusPoll.optional(),
});
export type SerialSubscription = z.infer<typeof serialSubscription>;

/** Of a probe a topic; of a look, with `+` and `#`, many. */
const mqttSubscription = z.object({ source: z.literal('mqtt'), topic: topicFilter });
export type MqttSubscription = z.infer<typeof mqttSubscription>;

export type Subscription = BleSubscription | SerialSubscription | MqttSubscription;

/**
 * Where a mapping (server/decoder/mapping-decoder.ts) listens; what is not part of a subscription is left out by its
 * schema.
 */
const listening = z.object({ mapping: z.object({ listen: z.record(z.string(), z.unknown()) }) });

/**
 * What a probe's address and options ask of its source; null for a probe that no transport serves (http,
 * spot).
 */
export function subscriptionOf({ address, options = {} }: Probe): Subscription | null {
  const listen = listening.safeParse(options).data?.mapping.listen ?? {};
  const all = { ...listen, ...options, ...address };
  if (address.source === 'ble') return bleSubscription.safeParse(all).data ?? null;
  if (address.source === 'serial') return serialSubscription.safeParse(all).data ?? null;
  if (address.source === 'mqtt') return mqttSubscription.safeParse(all).data ?? null;
  return null;
}

/** The options that a source takes besides the address of a device. */
export const SOURCE_OPTIONS = {
  ble: bleSubscription.omit({ source: true, device: true }),
  serial: serialSubscription.omit({ source: true, port: true }),
  mqtt: z.object({}),
  http: z.object({}),
  spot: z.object({}),
} satisfies Record<Probe['address']['source'], z.ZodObject>;

/** What a look at a device asks for; null where the options are wrong. */
export function lookSubscription(
  source: string,
  id: string,
  options: Record<string, unknown>,
): Subscription | null {
  if (source === 'ble') return bleSubscription.safeParse({ ...options, source, device: id }).data ?? null;
  if (source === 'serial') return serialSubscription.safeParse({ ...options, source, port: id }).data ?? null;
  return mqttSubscription.safeParse({ source, topic: id }).data ?? null;
}
