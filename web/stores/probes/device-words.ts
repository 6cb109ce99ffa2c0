import type { ProbeAddress } from '../../../shared/probe.ts';
import type { ListedDevice, PortLines, DeviceValue } from '../../../shared/api/devices.ts';
import type { Unit } from '../../../shared/units.ts';
import { inUnit } from '../../lib/format.ts';

/** What is in reach in words. Pure. */

/** dBm: common practice, no source; the far end of a garden is about the second. */
const GOOD_SIGNAL_DBM = -67;
const FAIR_SIGNAL_DBM = -82;

const signalWords = (dBm: number): string =>
  dBm >= GOOD_SIGNAL_DBM ? 'signal good' : dBm >= FAIR_SIGNAL_DBM ? 'signal fair' : 'signal weak';

const BLE_LINK = {
  seen: 'in reach',
  connecting: 'connecting …',
  connected: 'connected',
  lost: 'not in reach',
};
const SERIAL_LINK = { seen: 'plugged in', connecting: 'opening …', connected: 'open', lost: 'not there' };
const MQTT_LINK = {
  seen: 'heard',
  connecting: 'asked for …',
  connected: 'listened to',
  lost: 'not in reach',
};
const TRANSPORTS = {
  ble: ['Bluetooth', BLE_LINK],
  serial: ['Serial port', SERIAL_LINK],
  mqtt: ['MQTT topic', MQTT_LINK],
} as const;

/** "Bluetooth, connected, signal good (−58 dBm), battery 87 %" as its pieces. */
export function deviceWords({ source, link, rssi, battery, rate }: ListedDevice): string[] {
  const [transport, links] = TRANSPORTS[source];
  const words: string[] = [transport, links[link]];
  if (rssi !== undefined && link !== 'lost')
    words.push(`${signalWords(rssi)} (−${Math.abs(Math.round(rssi))}\u00a0dBm)`);
  if (rate !== undefined) words.push(`${rate} bits a second`);
  if (battery !== undefined)
    words.push(battery <= 15 ? `battery low: ${battery}\u00a0%` : `battery ${battery}\u00a0%`);
  return words;
}

const THERMOMETER_SERVICES = ['1809', '181a'];

/** Phones and lamps in reach are nobody's business until a mapping is built for one. */
export const isThermometer = (device: ListedDevice): boolean =>
  device.source !== 'ble' ||
  device.values.some((value) => value.decoder !== null || value.probe !== null) ||
  device.parts.some((part) => THERMOMETER_SERVICES.includes(part.service ?? ''));

/** As they appeared, so that nothing moves away under a finger; ports that were not opened yet come last. */
export function inOrder(before: readonly ListedDevice[], next: readonly ListedDevice[]): ListedDevice[] {
  const places = new Map(before.map((device, i) => [device.source + device.id, i]));
  const place = (device: ListedDevice): number =>
    isUnopened(device) ? Infinity : (places.get(device.source + device.id) ?? before.length);
  return [...next].sort((a, b) => (place(a) === place(b) ? 0 : place(a) - place(b)));
}

const isUnopened = ({ source, link, values }: ListedDevice): boolean =>
  source === 'serial' && link === 'seen' && values.length === 0;

export const nameOf = (device: Pick<ListedDevice, 'source' | 'name' | 'id'>): string =>
  device.name || (device.source === 'ble' ? `Without a name (${device.id.slice(-5)})` : device.id);

/** "263.4°": tenths, since a probe is found by warming it in the hand. */
export function formatTenths(celsius: number | null, unit: Unit): string {
  if (celsius === null) return '–';
  return `${inUnit(celsius, unit).toFixed(1).replace('-', '−')}°`;
}

const UNITS: Record<string, string> = { millivolt: 'mV', ohm: 'Ω', junction: '°C' };

/** The number before any conversion: "12.21 mV". */
export const rawWords = ({ value, quantity }: Pick<DeviceValue, 'value' | 'quantity'>): string =>
  value === null ? '–' : `${Number(value.toPrecision(6))} ${UNITS[quantity] ?? ''}`.trim();

export const isElectrical = ({ quantity }: Pick<DeviceValue, 'quantity'>): boolean =>
  quantity === 'millivolt' || quantity === 'ohm';

/** Stable while it is in reach. */
export const keyOf = ({ address }: Pick<DeviceValue, 'address'>): string => JSON.stringify(address);

/** Whether two addresses name the same frames, whatever value in them. */
export function samePlace(a: ProbeAddress, b: ProbeAddress): boolean {
  if (a.source === 'serial') return b.source === 'serial' && a.port === b.port;
  if (a.source === 'mqtt') return b.source === 'mqtt' && a.topic === b.topic;
  if (a.source !== 'ble' || b.source !== 'ble') return false;
  return (
    a.device === b.device &&
    a.characteristic === b.characteristic &&
    a.advert === b.advert &&
    (a.instance ?? 0) === (b.instance ?? 0)
  );
}

/** The device, port or topic that an address is of; empty for what is posted or typed. */
export function deviceIdOf(address: ProbeAddress): string {
  if (address.source === 'ble') return address.device;
  if (address.source === 'mqtt') return address.topic;
  return address.source === 'serial' ? address.port : '';
}

/** A number as a person types it, with a comma and a long minus if they like; null where it is none. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  const value = Number(plain);
  return plain === '' || !Number.isFinite(value) ? null : value;
}

/** As many digits as matter. */
export const writeNumber = (value: number | undefined | null): string =>
  value == null ? '' : String(Number(value.toPrecision(7)));

export const FORMAT_WORDS: Record<NonNullable<PortLines['format']>, string> = {
  pairs: 'names with values',
  json: 'JSON',
  numbers: 'bare numbers',
};
