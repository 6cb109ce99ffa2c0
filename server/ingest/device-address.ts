import type { ProbeAddress } from '../../shared/probe.ts';
import type { Frame } from '../../shared/recording.ts';
import { plainUuid } from '../decoder/ble/uuid.ts';

/** Device addresses and UUIDs have several spellings; every comparison of them is made here. */

/** The device, port or topic of an address or frame, in the spelling by which it is compared; empty where it has none. */
export function deviceOf(of: ProbeAddress | Frame): string {
  if (of.source === 'ble') return of.device.toLowerCase();
  if (of.source === 'mqtt') return of.topic;
  return of.source === 'serial' ? of.port : '';
}

const isSameDevice = (address: ProbeAddress, frame: Frame): boolean =>
  address.source === frame.source && deviceOf(address) === deviceOf(frame);

const isSameUuid = (a: string | undefined, b: string | undefined): boolean =>
  a === b || (a !== undefined && b !== undefined && plainUuid(a) === plainUuid(b));

/** An address that names no UUID takes any. */
const takes = (named: string | undefined, got: string | undefined): boolean =>
  named === undefined || isSameUuid(named, got);

/** Whether the frame is of the Bluetooth device that the address names, if not of the place on it. */
export const isOfDevice = (address: ProbeAddress, frame: Frame): boolean =>
  frame.source === 'ble' && isSameDevice(address, frame);

/** Whether the frame is one that the address names; what it leaves out is not asked. */
export function isAddressed(address: ProbeAddress, frame: Frame): boolean {
  if (address.source === 'ble')
    return (
      frame.source === 'ble' &&
      isSameDevice(address, frame) &&
      takes(address.service, frame.service) &&
      takes(address.characteristic, frame.characteristic) &&
      takes(address.advert, frame.advert) &&
      (address.instance ?? 0) === (frame.instance ?? 0)
    );
  if (address.source === 'serial' || address.source === 'mqtt') return isSameDevice(address, frame);
  return address.source === frame.source && address.channel === frame.channel;
}

/** Whether the frame comes from the very place that the address names: what it leaves out, the frame must not have. */
export function isSamePlace(address: ProbeAddress, frame: Frame): boolean {
  if (address.source !== 'ble') return isAddressed(address, frame);
  return (
    frame.source === 'ble' &&
    isAddressed(address, frame) &&
    isSameUuid(address.characteristic, frame.characteristic) &&
    isSameUuid(address.advert, frame.advert)
  );
}
