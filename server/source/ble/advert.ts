import type { LibraryPeripheral } from './radio/noble-library.ts';
import type { Advert } from './radio/radio.ts';
import { isUuid, plainUuid } from './plain-uuid.ts';

/**
 * The library tells the whole of what it knows again with each advertisement, so that `seen` (which buffers
 * were passed before) is needed to know what has just come.
 */
export function readAdvert(peripheral: LibraryPeripheral, seen: WeakSet<Buffer>): Advert {
  const { localName, serviceUuids = [], serviceData = [], manufacturerData } = peripheral.advertisement;
  const data = serviceData
    .filter((each) => isUuid(each.uuid))
    .map((each) => ({ advert: plainUuid(each.uuid), bytes: each.data }));
  if (manufacturerData && manufacturerData.length >= 2) {
    const company = manufacturerData.readUInt16LE(0).toString(16).padStart(4, '0');
    data.push({ advert: `m:${company}`, bytes: manufacturerData.subarray(2) });
  }
  const fresh = data.filter((each) => isFresh(each.bytes, seen));
  return {
    device: deviceOf(peripheral),
    ...(localName && { name: localName.slice(0, 80) }),
    rssi: peripheral.rssi,
    connectable: peripheral.connectable,
    services: [...serviceUuids, ...serviceData.map((each) => each.uuid)].map(plainUuid).filter(isUuid),
    data: fresh,
  };
}

function isFresh(bytes: Buffer, seen: WeakSet<Buffer>): boolean {
  if (seen.has(bytes)) return false;
  seen.add(bytes);
  return true;
}

/** Some systems hide the address and give an identifier instead. */
export function deviceOf({ address, id }: Pick<LibraryPeripheral, 'address' | 'id'>): string {
  return address && address !== 'unknown' ? address.toLowerCase().replaceAll('-', ':') : id.toLowerCase();
}
