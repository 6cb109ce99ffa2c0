import type { BleWant } from '../want.ts';
import type { Characteristic } from './radio.ts';
import { plainUuid } from './uuid.ts';

/** GATT numbers of the open standards: Health Thermometer, Environmental Sensing, Battery. */
const STANDARD: Record<string, readonly string[]> = {
  '1809': ['2a1c', '2a1e'],
  '181a': ['2a6e'],
  '180f': ['2a19'],
};
export const BATTERY = '2a19';

/** How often a characteristic that can't notify is read, s, where nobody said. */
const READ_EVERY = 2;

export type Chosen = {
  of: Characteristic;
  /** Seconds between readings where it does not notify. */
  every: number;
  /** Names from descriptors are worth asking for. */
  isTemperature: boolean;
};

/** Which characteristics to hear: those of the standards, and those that the wants name. */
export function choose(all: readonly Characteristic[], wants: readonly BleWant[]): Chosen[] {
  return all.flatMap((of) => {
    const named = wants.find((want) => names(want, of));
    const standard = STANDARD[of.service]?.includes(of.characteristic) ?? false;
    if (!named && !standard) return [];
    return [{ of, every: named?.every ?? READ_EVERY, isTemperature: of.characteristic !== BATTERY }];
  });
}

/** Start commands, each with where it goes. */
export function commands(
  all: readonly Characteristic[],
  wants: readonly BleWant[],
): { to: Characteristic | undefined; bytes: Uint8Array; uuid: string }[] {
  return wants.flatMap((want) => {
    if (want.start === undefined) return [];
    const uuid = plainUuid(want.startAt ?? want.characteristic ?? '');
    const inService = all.filter((one) => !want.service || one.service === plainUuid(want.service));
    const to = [...inService, ...all].find((one) => one.characteristic === uuid);
    return [{ to, bytes: Buffer.from(want.start, 'hex'), uuid }];
  });
}

/** Characteristics that a want names and the device has not. */
export const missing = (all: readonly Characteristic[], wants: readonly BleWant[]): string[] =>
  wants.flatMap((want) =>
    want.characteristic === undefined || all.some((one) => names(want, one)) ? [] : [want.characteristic],
  );

function names(want: BleWant, one: Characteristic): boolean {
  if (want.characteristic === undefined) return false;
  const service = want.service === undefined || plainUuid(want.service) === one.service;
  return service && plainUuid(want.characteristic) === one.characteristic;
}
