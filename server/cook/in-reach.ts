import type { Probe, ProbeAddress } from '../../shared/probe.ts';
import type { ReachLines, ReachValue } from '../../shared/reach.ts';
import type { BleLine, Frame, SerialLine } from '../../shared/recording.ts';
import { describe, describeLines, type Described } from '../ingest/describe.ts';
import type { Device } from '../source/source.ts';

/** What the last frame of a place on a device says, for the probe page. Pure. */

/** What tells one value's frames from another's on the same device. */
export function placeOf(frame: BleLine | SerialLine): string {
  if (frame.source === 'serial') return frame.bytes === undefined ? 'line' : 'bytes';
  return [frame.service, frame.characteristic, frame.instance, frame.advert].join(' ');
}

/** @param age seconds since the frame came */
export function valuesOf(
  frame: BleLine | SerialLine,
  age: number,
  device: Device,
  probes: readonly Probe[],
): ReachValue[] {
  const mine = probes.filter((probe) => isSamePlace(probe.address, frame));
  const owner = (part: string): Probe | undefined =>
    mine.find(({ address }) => 'part' in address && address.part === part) ??
    mine.find(({ address }) => !('part' in address) || address.part === undefined);
  const found = describe(frame, readsOf(mine[0]));
  const base = { decoder: found.decoder, raw: rawOf(frame), age };
  if (found.values.length === 0) return [{ ...base, ...unread(found, frame), probe: owner('')?.id ?? null }];
  return found.values
    .filter((one) => one.quantity !== 'battery')
    .map(({ part, quantity, value, celsius, fault, clipped }) => {
      const own = owner(part);
      // Each by its own conversion and calibration.
      const read = own && describe(frame, own).values.find((one) => one.part === part);
      const why =
        (read ? read.fault : fault) ?? (clipped ? 'this thermometer cannot say more than this' : undefined);
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
    });
}

/** The other values of a place are read as the first probe there is, but neither converted nor corrected as it is. */
const readsOf = (probe: Probe | undefined): Pick<Probe, 'decoder' | 'options'> => ({
  decoder: probe?.decoder,
  options: probe?.options,
});

function unread(
  found: Described,
  frame: BleLine | SerialLine,
): Omit<ReachValue, 'decoder' | 'raw' | 'age' | 'probe'> {
  return {
    address: addressOf(frame, undefined),
    label: found.label,
    quantity: 'unknown',
    value: null,
    celsius: null,
    ...(found.problem !== undefined && { fault: found.problem }),
  };
}

/** What the lines of a port seem to be; undefined where none came. */
export function linesOf(lines: readonly string[], probe: Probe | undefined): ReachLines | undefined {
  if (lines.length === 0) return undefined;
  const { format, columns, isSure } = describeLines(lines, probe?.options);
  return { lines: [...lines], format, isSure, ...(columns && { columns }) };
}

const rawOf = (frame: BleLine | SerialLine): string =>
  frame.source === 'serial' ? (frame.line ?? frame.bytes ?? '') : frame.bytes;

function addressOf(frame: BleLine | SerialLine, part: string | undefined): ProbeAddress {
  const named = part === undefined ? {} : { part };
  if (frame.source === 'serial') return { source: 'serial', port: frame.port, ...named };
  const { device, service, characteristic, instance, advert } = frame;
  return { source: 'ble', device, service, characteristic, instance, advert, ...named };
}

function isSamePlace(address: ProbeAddress, frame: Frame): boolean {
  if (address.source === 'serial') return frame.source === 'serial' && address.port === frame.port;
  if (address.source !== 'ble' || frame.source !== 'ble') return false;
  return (
    address.device === frame.device &&
    address.characteristic === frame.characteristic &&
    address.advert === frame.advert &&
    (address.instance ?? 0) === (frame.instance ?? 0)
  );
}

/** Intermediate Temperature of the Health Thermometer service: the same probe, before it stands still. */
const INTERMEDIATE = '2a1e';
const characteristicOf = (frame: BleLine | SerialLine): string | undefined =>
  frame.source === 'ble' ? frame.characteristic : undefined;

/** The device's own name for a value (descriptor 0x2901) where it has one. */
function labelOf(found: Described, frame: BleLine | SerialLine, part: string, device: Device): string {
  const own =
    frame.source === 'ble'
      ? device.parts?.find(
          (one) =>
            one.characteristic === frame.characteristic &&
            (one.instance ?? 0) === (frame.instance ?? 0) &&
            one.name,
        )?.name
      : undefined;
  const label = characteristicOf(frame) === INTERMEDIATE ? `${found.label}, while it settles` : found.label;
  // A board's own name for a value says more than that it sends lines.
  return (
    own ??
    (part === '' ? label : frame.source === 'serial' && frame.line !== undefined ? part : `${label} ${part}`)
  );
}
