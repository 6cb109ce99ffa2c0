import type { BleSubscription } from '../subscription.ts';
import type { Characteristic } from './radio/radio.ts';
import { plainUuid } from './plain-uuid.ts';

/** GATT numbers of the open standards: Health Thermometer, Environmental Sensing, Battery. */
const STANDARD_CHARACTERISTICS: Record<string, readonly string[]> = {
  '1809': ['2a1c', '2a1e'],
  '181a': ['2a6e'],
  '180f': ['2a19'],
};
export const BATTERY_LEVEL_UUID = '2a19';

/** How often a characteristic that can't notify is read, s, by default. */
const READ_EVERY_SECONDS = 2;

export type Chosen = {
  of: Characteristic;
  /** Seconds between readings where it does not notify. */
  every: number;
  /** Names from descriptors are worth asking for. */
  isTemperature: boolean;
};

/** Which characteristics to subscribe to: those of the standards, and those that subscriptions name. */
export function choose(all: readonly Characteristic[], subscriptions: readonly BleSubscription[]): Chosen[] {
  return all.flatMap((of) => {
    const named = subscriptions.find((subscription) => names(subscription, of));
    const standard = STANDARD_CHARACTERISTICS[of.service]?.includes(of.characteristic) ?? false;
    if (!named && !standard) return [];
    return [
      {
        of,
        every: named?.every ?? READ_EVERY_SECONDS,
        isTemperature: of.characteristic !== BATTERY_LEVEL_UUID,
      },
    ];
  });
}

/** Start commands, each with where it goes. */
export function commands(
  all: readonly Characteristic[],
  subscriptions: readonly BleSubscription[],
): { to: Characteristic | undefined; bytes: Uint8Array; uuid: string }[] {
  return subscriptions.flatMap((subscription) => {
    if (subscription.start === undefined) return [];
    const uuid = plainUuid(subscription.startAt ?? subscription.characteristic ?? '');
    const inService = all.filter(
      (each) => !subscription.service || each.service === plainUuid(subscription.service),
    );
    const to = [...inService, ...all].find((each) => each.characteristic === uuid);
    return [{ to, bytes: Buffer.from(subscription.start, 'hex'), uuid }];
  });
}

/** Characteristics that a subscription names and the device lacks. */
export const missing = (
  all: readonly Characteristic[],
  subscriptions: readonly BleSubscription[],
): string[] =>
  subscriptions.flatMap((subscription) =>
    subscription.characteristic === undefined || all.some((each) => names(subscription, each))
      ? []
      : [subscription.characteristic],
  );

function names(subscription: BleSubscription, characteristic: Characteristic): boolean {
  if (subscription.characteristic === undefined) return false;
  const service =
    subscription.service === undefined || plainUuid(subscription.service) === characteristic.service;
  return service && plainUuid(subscription.characteristic) === characteristic.characteristic;
}
