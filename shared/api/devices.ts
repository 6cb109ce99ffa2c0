import { z } from 'zod';
import { openOptions } from '../bounds.ts';
import { liveSource } from './live.ts';
import { probe, probeAddress } from '../probe.ts';
import { bleLine, mqttLine, serialLine } from '../recording.ts';

/** What is in reach, for the probe page: every device with the values that it says just now. */
const nullableNumber = z.number().nullable();

const deviceValue = z.object({
  address: probeAddress,
  /** Null where nothing here reads it: a mapping may. */
  decoder: z.string().nullable(),
  label: z.string(),
  quantity: z.string(),
  value: nullableNumber,
  celsius: nullableNumber,
  /** Why there is no value, in words. */
  fault: z.string().optional(),
  /** The frame as it came: hexadecimal, or a line of text. */
  raw: z.string(),
  /** Seconds since it came. */
  age: z.number(),
  /** Id of the probe that it is given to. */
  probe: z.string().nullable(),
});
export type DeviceValue = z.infer<typeof deviceValue>;

/** What the first lines of a port seem to be, for a person to confirm. */
const portLines = z.object({
  /** The last ones, as they came. */
  lines: z.array(z.string()),
  /** Null where no value was found in them. */
  format: z.enum(['pairs', 'json', 'numbers']).nullable(),
  /** Names found above the numbers, to be kept as the option `columns`. */
  columns: z.array(z.string()).optional(),
  isSure: z.boolean(),
});
export type PortLines = z.infer<typeof portLines>;

/** A place on a device where bytes come from, as a probe's address names it. */
const devicePart = z.object({
  service: z.string().optional(),
  characteristic: z.string().optional(),
  instance: z.number().optional(),
  advert: z.string().optional(),
  name: z.string().optional(),
});
export type DevicePart = z.infer<typeof devicePart>;

const listedDevice = z.object({
  source: z.enum(['ble', 'serial', 'mqtt']),
  id: z.string(),
  name: z.string(),
  rssi: z.number().optional(),
  battery: z.number().optional(),
  rate: z.number().optional(),
  link: z.enum(['seen', 'connecting', 'connected', 'lost']),
  problem: z.string().optional(),
  remedy: z.string().optional(),
  parts: z.array(devicePart),
  lines: portLines.optional(),
  values: z.array(deviceValue),
});
export type ListedDevice = z.infer<typeof listedDevice>;

export const deviceList = z.object({
  sources: z.array(liveSource),
  devices: z.array(listedDevice),
  probes: z.array(probe),
});
export type DeviceList = z.infer<typeof deviceList>;

export const newProbe = probe.omit({ id: true });
/** Null takes away what is not given any more. */
export const patchProbe = newProbe.partial().extend({
  name: newProbe.shape.name.nullable(),
  decoder: newProbe.shape.decoder.nullable(),
  options: newProbe.shape.options.nullable(),
  conversion: newProbe.shape.conversion.nullable(),
  calibration: newProbe.shape.calibration.nullable(),
  tolerance: newProbe.shape.tolerance.nullable(),
});
export type NewProbe = z.infer<typeof newProbe>;
export type PatchProbe = z.infer<typeof patchProbe>;

/** A frame and how it is to be read, to try a mapping before it is kept. */
export const tryReading = z.object({
  frame: z.union([bleLine.omit({ t: true }), serialLine.omit({ t: true }), mqttLine.omit({ t: true })]),
  reads: probe.pick({ decoder: true, options: true, conversion: true, calibration: true }).default({}),
});
export const tried = z.object({
  decoder: z.string().nullable(),
  label: z.string(),
  values: z.array(
    z.object({
      part: z.string(),
      quantity: z.string(),
      value: nullableNumber,
      celsius: nullableNumber,
      fault: z.string().optional(),
    }),
  ),
  problem: z.string().optional(),
});
export type Tried = z.infer<typeof tried>;
export type TryReading = z.input<typeof tryReading>;

/** What the probe page offers to choose from, from the code that uses it. */
export const probeChoices = z.object({
  /** ± °C at 270 °C, or at the end of the class where that comes first. */
  tolerances: z.array(z.object({ name: z.string(), within: z.number(), at: z.number() })),
  rules: z.array(z.object({ rule: z.string(), quality: z.string(), when: z.string() })),
  /** What ice and boiling water are worth at 270 °C, ± °C, by what is known of the place. */
  worth: z.object({ altitude: z.number(), pressure: z.number(), seaLevelPressure: z.number() }),
});
export type ProbeChoices = z.infer<typeof probeChoices>;

/** Asks a source to connect for a while to something that no probe is mapped to yet. */
export const lookAt = z.object({
  source: z.enum(['ble', 'serial', 'mqtt']),
  id: z.string().min(1).max(200),
  options: openOptions.default({}),
});

/** How a probe is calibrated; °C and pascal, as read. */
export const calibrate = z.discriminatedUnion('by', [
  z.object({ by: z.literal('offset'), read: z.number(), truth: z.number() }),
  z.object({
    by: z.literal('ice-and-boiling'),
    ice: z.number(),
    boiling: z.number(),
    altitude: z.number().min(-500).max(6000).optional(),
    pressure: z.number().min(40_000).max(110_000).optional(),
    seaLevelPressure: z.number().min(85_000).max(110_000).optional(),
  }),
  /** The last minutes of both, in the same place. */
  z.object({ by: z.literal('probe'), other: z.string().max(120) }),
  z.object({ by: z.literal('nothing') }),
]);
export type Calibrate = z.infer<typeof calibrate>;
