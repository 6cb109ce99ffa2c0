import type { Probe, ProbeAddress } from '../../../shared/probe.ts';
import type { PortLines, DeviceValue } from '../../../shared/api/devices.ts';
import type { BleLine, MqttLine, SerialLine } from '../../../shared/recording.ts';
import type { SourceKind } from '../../../shared/words.ts';
import { isSamePlace } from '../../ingest/device-address.ts';
import { describe, describeLines, type Described } from '../../ingest/describe-frame.ts';
import type { Device } from '../../source/source.ts';

/** What the last frame of a place on a device says, for the probe page. Pure. */

/** Values of one place on a device that are shown. */
const MAX_SHOWN = 24;
/** Characters of a frame that stand beside each of its values: a Bluetooth frame's hexadecimal whole. */
const MAX_RAW = 1024;
/** Messages of a topic that are shown; of those before the last only the beginning, characters. */
const MAX_MESSAGES = 4;
const MAX_BEGINNING = 120;

export type DeviceFrame = BleLine | SerialLine | MqttLine;

/** The device, port or topic, as its source calls it. */
export function idOf(frame: DeviceFrame): string {
  if (frame.source === 'ble') return frame.device;
  return frame.source === 'serial' ? frame.port : frame.topic;
}

/** What it said, where that is text. */
export function textOf(frame: DeviceFrame): string | undefined {
  if (frame.source === 'ble') return undefined;
  return frame.source === 'serial' ? frame.line : frame.payload;
}

/** What tells one value's frames from another's on the same device. */
export function placeOf(frame: DeviceFrame): string {
  if (frame.source === 'mqtt') return 'payload';
  if (frame.source === 'serial') return frame.bytes === undefined ? 'line' : 'bytes';
  return [frame.service, frame.characteristic, frame.instance, frame.advert].join(' ');
}

/** @param age seconds since the frame came */
export function valuesOf(
  frame: DeviceFrame,
  age: number,
  device: Device,
  probes: readonly Probe[],
): DeviceValue[] {
  const ofDevice = probes.filter((probe) => isSamePlace(probe.address, frame));
  const owner = (part: string): Probe | undefined =>
    ofDevice.find(({ address }) => 'part' in address && address.part === part) ??
    ofDevice.find(({ address }) => !('part' in address) || address.part === undefined);
  const found = describe(frame, readsOf(ofDevice[0]));
  const raw = frame.source === 'mqtt' ? rawOf(frame).slice(0, MAX_BEGINNING) : rawOf(frame);
  const base = { decoder: found.decoder, raw, age };
  if (found.values.length === 0) return [{ ...base, ...unread(found, frame), probe: owner('')?.id ?? null }];
  return (
    found.values
      .filter(({ quantity }) => quantity !== 'battery')
      // A person chooses among a handful: of a message with hundreds of numbers those that are given are shown, and the first.
      .filter(({ part }, i) => i < MAX_SHOWN || owner(part)?.channel != null)
      .map(({ part, quantity, value, celsius, fault, clipped }) => {
        const own = owner(part);
        // Each by its own conversion and calibration.
        const read = own && describe(frame, own).values.find((described) => described.part === part);
        const why =
          (read ? read.fault : fault) ??
          (clipped
            ? 'this thermometer cannot read higher than this'
            : isRetained(frame)
              ? RETAINED
              : undefined);
        return {
          ...base,
          address: addressOf(frame, part),
          label: labelOf(found, frame, part, device),
          quantity,
          value,
          celsius: read ? read.celsius : celsius,
          ...(why !== undefined && { fault: why }),
          probe: own?.id ?? null,
        };
      })
  );
}

const isRetained = (frame: DeviceFrame): boolean => frame.source === 'mqtt' && frame.retained === true;
const RETAINED =
  'kept by the broker from before: nobody knows how old it is, so it is not taken as a reading';

/** The other values of a place are read as the first probe there is, but neither converted nor corrected as it is. */
const readsOf = (probe: Probe | undefined): Pick<Probe, 'decoder' | 'options'> => ({
  decoder: probe?.decoder,
  options: probe?.options,
});

function unread(
  found: Described,
  frame: DeviceFrame,
): Omit<DeviceValue, 'decoder' | 'raw' | 'age' | 'probe'> {
  return {
    address: addressOf(frame, undefined),
    label: found.label,
    quantity: 'unknown',
    value: null,
    celsius: null,
    ...(found.problem !== undefined && { fault: found.problem }),
  };
}

/** What the lines of a port, or what is sent to a topic, seem to be; undefined where none came. */
export function linesOf(
  source: SourceKind,
  lines: readonly string[],
  probe: Probe | undefined,
): PortLines | undefined {
  if (lines.length === 0) return undefined;
  if (source === 'mqtt') {
    const last = lines.slice(-1);
    const before = lines.slice(-MAX_MESSAGES, -1).map((line) => line.slice(0, MAX_BEGINNING));
    return { lines: [...before, ...last], format: payloadFormat(last), isSure: true };
  }
  const { format, columns, isSure } = describeLines(lines, probe?.options);
  return { lines: [...lines], format, isSure, ...(columns && { columns }) };
}

/** By the last one; null where no value is in it. */
function payloadFormat(lines: readonly string[]): PortLines['format'] {
  const payload = lines.at(-1) ?? '';
  const { values } = describe({ t: 0, source: 'mqtt', topic: 'any', payload });
  if (values.length === 0) return null;
  return /^\s*[{[]/.test(payload) ? 'json' : 'numbers';
}

const rawOf = (frame: DeviceFrame): string =>
  (textOf(frame) ?? ('bytes' in frame ? (frame.bytes ?? '') : '')).slice(0, MAX_RAW);

function addressOf(frame: DeviceFrame, part: string | undefined): ProbeAddress {
  const named = part === undefined ? {} : { part };
  if (frame.source === 'serial') return { source: 'serial', port: frame.port, ...named };
  if (frame.source === 'mqtt') return { source: 'mqtt', topic: frame.topic, ...named };
  const { device, service, characteristic, instance, advert } = frame;
  return { source: 'ble', device, service, characteristic, instance, advert, ...named };
}

/** Intermediate Temperature of the Health Thermometer service: the same probe, before it stands still. */
const INTERMEDIATE = '2a1e';
const characteristicOf = (frame: DeviceFrame): string | undefined =>
  frame.source === 'ble' ? frame.characteristic : undefined;

/** The device's own name for a value (descriptor 0x2901) where it has one. */
function labelOf(found: Described, frame: DeviceFrame, part: string, device: Device): string {
  const own =
    frame.source === 'ble'
      ? device.parts?.find(
          (part) =>
            part.characteristic === frame.characteristic &&
            (part.instance ?? 0) === (frame.instance ?? 0) &&
            part.name,
        )?.name
      : undefined;
  const label = characteristicOf(frame) === INTERMEDIATE ? `${found.label}, while it settles` : found.label;
  // A board's own name for a value says more than that it sends lines.
  return own ?? (part === '' ? label : textOf(frame) !== undefined ? part : `${label} ${part}`);
}
