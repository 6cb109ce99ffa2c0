import { beforeAll, vi } from 'vitest';
import { BleSource } from '../../../server/source/ble/ble.ts';
import {
  startFakeBle,
  type FakeBle,
  type PeripheralSpec,
} from '../../fake-ble-controller/fake-controller.ts';
import { buildChild } from '../../fake-ble-controller/child.ts';
import { atEnd } from '../../support/endings.ts';
import { Watch } from '../watch.ts';
import { subscriptionTo } from './peripherals.ts';

export const WITHIN = { timeout: 180_000 };

// Each wait has its own bound; several of them on a busy machine are more than the usual one for a test.
vi.setConfig({ testTimeout: 180_000 });

let child = '';

beforeAll(async () => {
  child = await buildChild();
});

export const fakeBle = (...peripherals: PeripheralSpec[]): Promise<FakeBle> => startFakeBle({ peripherals });

export function sourceOn(env: Record<string, string>): { source: BleSource; watch: Watch } {
  const source = new BleSource({ child, env });
  const watch = new Watch();
  source.start(watch);
  atEnd(() => source.stop());
  return { source, watch };
}

export async function linked(
  ...specs: PeripheralSpec[]
): Promise<{ fake: FakeBle; source: BleSource; watch: Watch; addresses: string[] }> {
  const fake = await fakeBle(...specs);
  const { source, watch } = sourceOn(fake.env);
  const addresses = specs.map((spec) => fake.peripheral(spec.name).address);
  source.subscribe(addresses.map((address) => subscriptionTo(address)));
  await watch.until('all are connected', () =>
    addresses.every((address) => watch.device(address)?.link === 'connected'),
  );
  return { fake, source, watch, addresses };
}
