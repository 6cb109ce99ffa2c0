import { afterEach, beforeAll, vi } from 'vitest';
import { BleSource } from '../../../server/source/ble/ble.ts';
import type { BleWant } from '../../../server/source/want.ts';
import { startAir, type Air, type PeripheralSpec } from '../../air/air.ts';
import { buildChild } from '../../air/child.ts';
import { Watch } from '../watch.ts';

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

export const WITHIN = { timeout: 25_000 };

// Each wait has its own bound; several of them on a busy machine are more than the usual one for a test.
vi.setConfig({ testTimeout: 90_000 });

let child = '';
const cleanUps: (() => Promise<void>)[] = [];

beforeAll(async () => {
  child = await buildChild();
});
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

export async function air(...peripherals: PeripheralSpec[]): Promise<Air> {
  const one = await startAir({ peripherals });
  cleanUps.push(() => one.close());
  return one;
}

export function sourceOn(env: Record<string, string>): { source: BleSource; watch: Watch } {
  const source = new BleSource({ child, env });
  const watch = new Watch();
  source.start(watch);
  cleanUps.push(() => source.stop());
  return { source, watch };
}

export const wantOf = (device: string, more: Partial<BleWant> = {}): BleWant => ({
  source: 'ble',
  device,
  ...more,
});

export async function linked(
  ...specs: PeripheralSpec[]
): Promise<{ air: Air; source: BleSource; watch: Watch; addresses: string[] }> {
  const one = await air(...specs);
  const { source, watch } = sourceOn(one.env);
  const addresses = specs.map((spec) => one.peripheral(spec.name).address);
  source.want(addresses.map((address) => wantOf(address)));
  await watch.until('all are connected', () =>
    addresses.every((address) => watch.device(address)?.link === 'connected'),
  );
  return { air: one, source, watch, addresses };
}
