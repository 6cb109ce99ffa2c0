import type { BleSubscription } from '../../../server/source/subscription.ts';
import type { PeripheralSpec } from '../../fake-ble-controller/fake-controller.ts';

export const HEALTH: PeripheralSpec = {
  kind: 'health',
  name: 'Lance',
  celsius: 270.5,
  every: 200,
  battery: 64,
};
export const BOTH = {
  kind: 'environmental',
  name: 'Both',
  every: 200,
  temperatures: [
    { name: 'Stone', celsius: 270 },
    { name: 'Dome', celsius: 300 },
  ],
} satisfies PeripheralSpec;
export const MADE_UP: PeripheralSpec = { kind: 'made-up', name: 'Board', celsius: 261.3, every: 200 };

export const subscriptionTo = (device: string, more: Partial<BleSubscription> = {}): BleSubscription => ({
  source: 'ble',
  device,
  ...more,
});
