import type { Frame } from '../../shared/recording.ts';
import { battery } from './ble/battery.ts';
import { bthome } from './ble/bthome.ts';
import { environmentalSensing } from './ble/environmental-sensing.ts';
import { healthThermometer } from './ble/health-thermometer.ts';
import type { Decoder } from './decoder.ts';
import { mappingDecoder } from './mapping-decoder.ts';
import { modbus } from './serial/modbus.ts';
import { serialText } from './serial/serial-text.ts';
import { mqttPayload } from './plain/mqtt-payload.ts';
import { reading } from './plain/plain-reading.ts';
import { spot } from './plain/spot.ts';

/**
 * Every decoder. A new one is
 *   1. a file in this folder that exports a `Decoder` (decoder.ts) under the format's published name, with the frame
 *      drawn above it: offsets, units, the document;
 *   2. its line in the list below; the first whose `matches` says yes reads a frame of a probe that names none;
 *   3. `fixtures/frames/<name>.json`: hex in, measurements out, where they are from.
 * The table and random-byte tests find it by themselves.
 */
export const DECODERS: readonly Decoder[] = [
  reading,
  healthThermometer,
  environmentalSensing,
  bthome,
  serialText,
  modbus,
  mqttPayload,
  battery,
  spot,
  mappingDecoder,
];

/** The decoder of that name, else the first that reads such frames; null when none does. */
export function decoderFor(frame: Frame, name?: string): Decoder | null {
  const wanted = (decoder: Decoder): boolean =>
    name === undefined ? decoder.matches(frame) : decoder.name === name;
  return DECODERS.find(wanted) ?? null;
}
