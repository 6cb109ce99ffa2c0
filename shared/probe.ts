import { z } from 'zod';
import { isSmallOption, lookupName, openOptions } from './bounds.ts';
import { topicName } from './api/broker.ts';

/** Where a probe's frames come from. Each source names its own address; `part` picks one value of several in a frame. */
export const probeAddress = z.discriminatedUnion('source', [
  z.object({
    source: z.literal('ble'),
    device: z.string().min(1).max(120),
    service: z.string().max(40).optional(),
    characteristic: z.string().max(40).optional(),
    instance: z.number().int().min(0).optional(),
    advert: z.string().max(40).optional(),
    part: z.string().max(80).optional(),
  }),
  z.object({
    source: z.literal('serial'),
    port: z.string().min(1).max(200),
    part: z.string().max(80).optional(),
  }),
  z.object({
    source: z.literal('mqtt'),
    topic: topicName,
    /** Of JSON, where the value is: a JSON pointer (RFC 6901). */
    part: z.string().max(200).optional(),
  }),
  z.object({ source: z.literal('http'), channel: lookupName(64) }),
  z.object({ source: z.literal('spot'), channel: lookupName(64) }),
]);
export type ProbeAddress = z.infer<typeof probeAddress>;

/** Raw electrical value → °C, by the published function that `kind` names (server/conversion). Options are its own. */
export const conversion = z
  .object({ kind: z.string().min(1).max(40) })
  .catchall(z.unknown())
  .refine(isSmallOption.check, isSmallOption.why);
export type Conversion = z.infer<typeof conversion>;

/** Corrected = gain · read + offset, °C; how it was found is kept for the page to say what it is worth. */
export const calibration = z.object({
  offset: z.number().min(-100).max(100).default(0),
  gain: z.number().min(0.5).max(2).default(1),
  how: z.string().max(400).optional(),
  at: z.iso.datetime({ offset: true }).optional(),
});
export type Calibration = z.infer<typeof calibration>;

/** One sensor of a source, mapped to a channel, with its decoder, conversion and calibration. */
export const probe = z.object({
  id: z.string().min(1).max(120),
  name: z.string().max(80).optional(),
  channel: lookupName(64).nullable(),
  address: probeAddress,
  /** Name of a decoder in server/decoder/decoder-list.ts; absent = the first that says it can. */
  decoder: z.string().max(40).optional(),
  /** The decoder's own options: a mapping, a BTHome key … */
  options: openOptions.optional(),
  conversion: conversion.optional(),
  calibration: calibration.optional(),
  /** Tolerance class of the sensor, as IEC 60584-1 or IEC 60751 names it ("K class 1", "Pt100 class B"). */
  tolerance: z.string().max(40).optional(),
});
export type Probe = z.infer<typeof probe>;
