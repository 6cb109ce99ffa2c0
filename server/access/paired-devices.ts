import { randomUUID } from 'node:crypto';
import { Fault } from '../../shared/fault.ts';
import type { Right } from '../../shared/api/access.ts';
import type { StoredDevice, DeviceShelf } from '../store/device-verbs.ts';
import { hashOf, newToken } from './secret.ts';

const DAY_MS = 86_400_000;
/** A device that was not seen for this long, or was paired this long ago, must be paired again. */
export const IDLE_MS = 60 * DAY_MS;
export const PAIRED_AT_MOST_MS = 365 * DAY_MS;
const MAX_DEVICES = 100;
/** How much later a visit must be to be written down again: a page asks often. */
const SEEN_EVERY_MS = 3_600_000;

export type Devices = {
  /** @param at ms since the epoch @returns the token, which is kept nowhere else */
  add(name: string, right: Right, at: number): Promise<{ id: string; token: string }>;
  find(token: string, at: number): StoredDevice | null;
  list(at: number): StoredDevice[];
  /** @throws Fault `not-found` */
  revoke(id: string): Promise<void>;
};

const living = (device: StoredDevice, at: number): boolean =>
  at - device.seenAt < IDLE_MS && at - device.enteredAt < PAIRED_AT_MOST_MS;

/** The devices that were let in. Their tokens are kept as hashes, so that the data folder lets nobody in. */
export function createDevices(shelf: DeviceShelf): Devices {
  const known = new Map(shelf.devices().map((device) => [device.hash, device]));
  function forget(device: StoredDevice): void {
    known.delete(device.hash);
    shelf.removeDevice(device.id);
  }
  return {
    async add(name, right, at) {
      for (const each of known.values()) if (!living(each, at)) forget(each);
      if (known.size >= MAX_DEVICES)
        throw new Fault('conflict', `${MAX_DEVICES} devices are let in already: revoke one in the settings.`);
      const token = newToken();
      const device = { id: randomUUID(), name, right, hash: hashOf(token), enteredAt: at, seenAt: at };
      known.set(device.hash, device);
      shelf.putDevice(device);
      await shelf.persisted();
      return { id: device.id, token };
    },
    find(token, at) {
      const found = known.get(hashOf(token));
      if (!found || !living(found, at)) return null;
      if (at - found.seenAt > SEEN_EVERY_MS) {
        const seen = { ...found, seenAt: at };
        known.set(seen.hash, seen);
        shelf.putDevice(seen);
        return seen;
      }
      return found;
    },
    list: (at) => [...known.values()].filter((each) => living(each, at)),
    async revoke(id) {
      const found = [...known.values()].find((each) => each.id === id);
      if (!found) throw new Fault('not-found', `There is no device "${id}".`);
      forget(found);
      await shelf.persisted();
    },
  };
}
