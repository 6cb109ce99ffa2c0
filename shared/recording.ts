import { z } from 'zod';
import { aroundCook, cookSeconds, instantText, lookupName } from './bounds.ts';
import { topicName } from './api/broker.ts';
import { cookEvent } from './event.ts';
import { probe } from './probe.ts';
import { pizza } from './evening/pizza.ts';
import { targets } from './targets.ts';
import { QUALITIES, ROLES } from './words.ts';

/** Recordings: JSON Lines, a header and then one line a frame, reading or event, `t` in seconds since `startedAt`. */
export const RECORDING_VERSION = 1;

const t = cookSeconds;
const hex = z.string().regex(/^([0-9a-fA-F]{2})*$/, 'bytes are written as hexadecimal pairs');

export const recordingHeader = z.object({
  recording: z.literal(RECORDING_VERSION),
  startedAt: instantText,
  channels: z
    .array(z.object({ id: lookupName(64), role: z.enum(ROLES), name: z.string().max(80).optional() }))
    .min(1)
    .max(64),
  targets: targets.partial().default({}),
  probes: z.array(probe).default([]),
  /** Turn and off, s after a launch, for pizzas that say nothing of their own. */
  bake: z.object({ turnAfter: z.number().nullable(), offAfter: z.number() }).optional(),
  /** What earlier cooks had taught of this grill when the cook began, so that it replays to the same answers. */
  grill: z
    .object({ version: z.number(), cooks: z.number(), values: z.record(z.string(), z.number()) })
    .nullable()
    .optional(),
  /** What made it, in words: "synthetic, …" for what the simulator made. */
  origin: z.string().max(2000).optional(),
  name: z.string().max(200).optional(),
  /** What a person wrote about the cook, so that nothing is lost between export and import. */
  cook: z
    .object({ notes: z.string(), endedAt: z.iso.datetime().nullable(), pizzas: z.array(pizza).max(1000) })
    .partial()
    .optional(),
});
export type RecordingHeader = z.infer<typeof recordingHeader>;

/** A temperature that needs no decoding; `celsius` null with a `fault` is a probe that says it cannot measure. */
export const readingLine = z
  .object({
    t,
    channel: lookupName(64),
    celsius: z.number().nullable().optional(),
    fahrenheit: z.number().nullable().optional(),
    fault: z.string().max(200).optional(),
    source: z.enum(['http', 'replay']).optional(),
    /** Seconds since `startedAt` that the reading was of, where it reached us later than that. */
    was: aroundCook.optional(),
    /** Judged already, where the raw frame was not kept. */
    quality: z.enum(QUALITIES).optional(),
    reason: z.string().max(400).optional(),
  })
  .refine(
    (x) => x.celsius !== undefined || x.fahrenheit !== undefined,
    'a reading has celsius or fahrenheit',
  );

export const bleLine = z.object({
  t,
  source: z.literal('ble'),
  device: z.string().min(1).max(120),
  service: z.string().max(40).optional(),
  characteristic: z.string().max(40).optional(),
  /** Tells apart characteristics of one UUID in one service, by their order. */
  instance: z.number().int().min(0).optional(),
  /** Advertisement: `fcd2` service data of that UUID, `m:02e5` manufacturer data of that company. */
  advert: z.string().max(40).optional(),
  rssi: z.number().optional(),
  bytes: hex,
});

export const serialLine = z.object({
  t,
  source: z.literal('serial'),
  port: z.string().min(1).max(200),
  line: z.string().max(4096).optional(),
  /** A binary frame (Modbus RTU), where the port does not speak in lines. */
  bytes: hex.optional(),
});

/** What was published to a topic of the user's own MQTT broker. */
export const mqttLine = z.object({
  t,
  source: z.literal('mqtt'),
  topic: topicName,
  payload: z.string().max(4096),
  /** The broker had it from before we came: nobody knows of when it is, so it is shown and is no reading. */
  retained: z.literal(true).optional(),
});

/** A reading typed in from an infrared thermometer, before correction. */
export const spotLine = z.object({
  t,
  source: z.literal('spot'),
  channel: lookupName(64),
  celsius: z.number(),
  surface: z.string().max(80).optional(),
  /** ε that the instrument was set to, ε of the surface, and the temperature it reflects, °C. */
  emissivitySet: z.number().gt(0).max(1).optional(),
  emissivity: z.number().gt(0).max(1).optional(),
  reflected: z.number().optional(),
  /** Seconds since `startedAt` that it was looked at, where it reached us later than that. */
  was: aroundCook.optional(),
  /** Names the look, so that an `undo` can strike it out; without one it is named by its place: "look1", "look2" … */
  id: lookupName(64).optional(),
});

export const eventLine = z.intersection(z.object({ t }), cookEvent);

export type ReadingLine = z.infer<typeof readingLine>;
export type BleLine = z.infer<typeof bleLine>;
export type SerialLine = z.infer<typeof serialLine>;
export type MqttLine = z.infer<typeof mqttLine>;
export type SpotLine = z.infer<typeof spotLine>;
export type EventLine = z.infer<typeof eventLine>;

/** A frame: what a source delivered, exactly, with the time `t` (s since the cook started) at which it arrived. */
export type Frame = ReadingLine | BleLine | SerialLine | MqttLine | SpotLine;
export type RecordingLine = Frame | EventLine;
