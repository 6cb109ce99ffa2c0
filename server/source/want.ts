import { z } from 'zod';
import type { Probe } from '../../shared/probe.ts';

/** What a source must do so that a probe gets its frames. A probe that names less gets what the standards say. */
const hex = z.string().regex(/^([0-9a-fA-F]{2})+$/, 'bytes are written as hexadecimal pairs');
const every = z.number().min(0.2).max(3600);

export const bleWant = z.object({
  source: z.literal('ble'),
  device: z.string().min(1).max(120),
  /** Beyond the standard thermometer services: one characteristic, subscribed to, or read `every` so many seconds. */
  service: z.string().max(40).optional(),
  characteristic: z.string().max(40).optional(),
  /** Only this advertisement is wanted, so that no connection is made. */
  advert: z.string().max(40).optional(),
  /** Bytes to write once after connecting, to `startAt` (a characteristic of the same service; else the same one). */
  start: hex.optional(),
  startAt: z.string().max(40).optional(),
  every: every.optional(),
});
export type BleWant = z.infer<typeof bleWant>;

/** Modbus RTU: registers that are read over and over. `first` is the address on the wire, from 0. */
export const modbusPoll = z.object({
  unit: z.number().int().min(1).max(247),
  registers: z.enum(['input', 'holding']).default('input'),
  first: z.number().int().min(0).max(65_535).default(0),
  count: z.number().int().min(1).max(125).default(8),
  every: every.default(1),
});
export type ModbusPoll = z.infer<typeof modbusPoll>;

export const serialWant = z.object({
  source: z.literal('serial'),
  port: z.string().min(1).max(200),
  /** Bits a second; absent = found by trying. */
  rate: z.number().int().min(300).max(1_000_000).optional(),
  modbus: modbusPoll.optional(),
});
export type SerialWant = z.infer<typeof serialWant>;

export type Want = BleWant | SerialWant;

/** Where a mapping (server/decoder/mapping.ts) listens; what is not of a want is left out by its schema. */
const listening = z.object({ mapping: z.object({ listen: z.record(z.string(), z.unknown()) }) });

/** What a probe's address and options ask of its source; null for a probe that no transport serves (http, spot). */
export function wantOf({ address, options = {} }: Probe): Want | null {
  const listen = listening.safeParse(options).data?.mapping.listen ?? {};
  const all = { ...listen, ...options, ...address };
  if (address.source === 'ble') return bleWant.safeParse(all).data ?? null;
  if (address.source === 'serial') return serialWant.safeParse(all).data ?? null;
  return null;
}
